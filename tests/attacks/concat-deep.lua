-- Calling a very long chain of closures.
-- ends with: (a clean end)
local f = function() return 1 end
for _ = 1, 300000 do local g = f f = function() return 1 + g() end end
return f()
