-- table.sort with a comparison that always says yes, for ever.
-- ends with: too much work between two questions
local t = {}
for i = 1, 2000 do t[i] = i end
while true do table.sort(t, function() return true end) end
