-- Tail calls without an end: the stack never grows.
-- ends with: too much work between two questions
local function on() return on() end
on()
