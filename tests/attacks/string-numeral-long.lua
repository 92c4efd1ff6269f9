-- A long row of zeros read as a number for ever.
-- ends with: too much work between two questions
local zeros = ("0"):rep(262144)
while true do math.floor(zeros) tonumber(zeros) for _ = 1, zeros do end end
