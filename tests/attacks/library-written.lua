-- Changing a function that everybody uses.
-- ends with: 'string' is read-only
function string.rep() return "mine" end
