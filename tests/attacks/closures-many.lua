-- Closures without an end, each kept by the next.
-- ends with: needs more than its 65536 KiB of memory
local f = function() end
while true do local g = f f = function() return g() end end
