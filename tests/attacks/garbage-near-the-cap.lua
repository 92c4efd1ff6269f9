-- Memory kept near the cap, then garbage: each allocation makes Lua collect everything.
-- ends with: too much work between two questions
local kept = {}
for i = 1, 480000 do kept[i] = { i } end
while true do local s = ("x"):rep(100000) end
