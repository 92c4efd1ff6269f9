-- Sorting long texts that differ only in their last character.
-- ends with: too much work between two questions
local t = {}
for i = 1, 100 do t[i] = ("a"):rep(200000) .. i end
while true do table.sort(t) end
