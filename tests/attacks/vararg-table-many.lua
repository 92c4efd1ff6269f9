-- "..." filled by unpack of unpack, and packed for ever.
-- ends with: too much work between two questions
local t = {}
for i = 1, 240 do t[i] = i end
local function spin(...) while true do local p = table.pack(...) end end
spin(table.unpack(t))
