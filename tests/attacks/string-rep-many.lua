-- Many texts of the longest size: each call is one instruction.
-- ends with: too much work between two questions
while true do local s = ("x"):rep(262144) end
