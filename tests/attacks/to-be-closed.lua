-- A variable that runs code when it is left.
-- ends with: non-closable value
local x <close> = {}
