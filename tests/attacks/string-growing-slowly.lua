-- A text that grows by one character: each turn copies it whole.
-- ends with: too much work between two questions
local s = ""
while true do s = s .. "x" end
