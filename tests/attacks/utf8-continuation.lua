-- A walk over characters that are none.
-- ends with: too much work between two questions
local s = ("\x80"):rep(262144)
while true do pcall(function() for _ in utf8.codes(s) do end end) pcall(utf8.offset, s, 200000) end
