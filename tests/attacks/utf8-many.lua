-- Counting the characters of a long text, for ever.
-- ends with: too much work between two questions
local s = ("x"):rep(262144)
while true do utf8.len(s) end
