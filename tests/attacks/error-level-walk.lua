-- error with a level far out, shallow, for ever.
-- ends with: too much work between two questions
while true do pcall(error, "x", math.maxinteger) end
