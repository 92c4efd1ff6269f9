-- An error whose message makes Lua read through a function, again and again.
-- ends with: too much work between two questions
local n, nobody = 0, nil
local function long(skip)
  if not skip then n = n + 1 n = n + 1 n = n + 1 n = n + 1 n = n + 1 n = n + 1 n = n + 1 n = n + 1 n = n + 1 end
  nobody()
end
while true do pcall(long, true) end
