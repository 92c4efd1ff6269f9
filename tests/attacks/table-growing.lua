-- A table that grows for ever.
-- ends with: needs more than its 65536 KiB of memory
local t = {}
for i = 1, math.huge do t[i] = { i } end
