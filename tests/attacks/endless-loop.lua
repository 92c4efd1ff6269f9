-- An endless loop.
-- ends with: too much work between two questions
while true do end
