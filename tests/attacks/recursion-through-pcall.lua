-- Recursion through pcall: each level takes C stack.
-- ends with: too much work between two questions
local function down() pcall(down) return down() end
down()
