-- Catching that memory has run out, and going on.
-- ends with: needs more than its 65536 KiB of memory
while true do
  pcall(function() local t = {} for i = 1, math.huge do t[i] = { {}, {}, {} } end end)
end
