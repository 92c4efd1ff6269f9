-- Looking for a long text that nearly matches everywhere.
-- ends with: too much work between two questions
local hay, needle = ("a"):rep(262144), ("a"):rep(131071) .. "b"
while true do hay:find(needle, 1, true) end
