-- pcall of pcall of pcall, to outlive the error that the limit raises.
-- ends with: too much work between two questions
local function hold(n)
  if n == 0 then while true do end end
  while true do pcall(hold, n - 1) end
end
hold(100)
