-- Splitting a long text into very many pieces, for ever.
-- ends with: too much work between two questions
local s = ("a,"):rep(131072)
while true do s:split(",") end
