-- "..." made longer call by call, then copied whole by every instruction.
-- ends with: more than 250 arguments in a call
local function spin(...) while true do select("#", ...) end end
local function grow(n, ...)
  if n == 0 then return spin(...) end
  return grow(n - 1, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, ...)
end
grow(20000)
