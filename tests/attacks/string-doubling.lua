-- A text that doubles for ever.
-- ends with: a text grew beyond 256 KiB
local s = "x"
while true do s = s .. s end
