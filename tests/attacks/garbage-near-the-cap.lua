-- Memory kept right up to the cap, then garbage: each allocation makes Lua collect everything.
-- ends with: too much work between two questions
local kept
for i = 1, 761000 do kept = { kept, i } end
while true do local s = ("x"):rep(20000) end
