-- A loop that runs to the end of the integers.
-- ends with: too much work between two questions
for i = math.mininteger, math.maxinteger do end
