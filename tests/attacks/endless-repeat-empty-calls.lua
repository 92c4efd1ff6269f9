-- An endless loop of calls that each take little.
-- ends with: too much work between two questions
local function nothing() end
repeat nothing() until false
