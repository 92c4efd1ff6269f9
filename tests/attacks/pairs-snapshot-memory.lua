-- Many snapshots of the keys of one table, all kept.
-- ends with: too much work between two questions
local t, kept = {}, {}
for i = 1, 10000 do t[i] = i end
while true do kept[#kept + 1] = pairs(t) end
