-- Two equal long texts compared for ever: an instruction that reads half a megabyte.
-- ends with: too much work between two questions
local a, b = ("x"):rep(262143), ("x"):rep(262143)
local n = 0
while true do if a == b and a <= b then n = n + 1 end end
