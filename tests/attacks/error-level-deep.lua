-- error with a level far out, from deep down, for ever.
-- ends with: more than 200 calls deep
local function down(n)
  if n > 0 then return 1 + down(n - 1) end
  while true do pcall(error, "x", 100000) end
end
down(150000)
