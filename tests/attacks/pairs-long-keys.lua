-- pairs over keys that are long and differ only in their last character.
-- ends with: too much work between two questions
local t = {}
for i = 1, 100 do t[("a"):rep(200000) .. i] = i end
while true do for k in pairs(t) do end end
