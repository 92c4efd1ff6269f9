-- Reaching the methods of texts to change them.
-- ends with: attempt to index a string value
local s = ""
s.rep = nil
