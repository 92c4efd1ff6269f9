-- Recursion without an end, not a tail call.
-- ends with: stack overflow
local function down(n) return 1 + down(n + 1) end
return down(1)
