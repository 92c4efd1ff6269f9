-- pairs on a table that is large but empty.
-- ends with: too much work between two questions
local t = {}
for i = 1, 200000 do t[i] = true end
for i = 1, 200000 do t[i] = nil end
while true do pairs(t) end
