-- Recursion through the comparison of table.sort: each level takes C stack.
-- ends with: C stack overflow
local function down() table.sort({ 1, 2 }, function() down() return true end) end
down()
