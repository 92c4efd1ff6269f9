-- %q, and %s of a function, for an address.
-- ends with: '%q' is not a directive
local seen = string.format("%s %s", {}, function() end)
assert(seen == "table function", seen)
return string.format("%q", {})
