-- Asking for an address by %p.
-- ends with: '%p' is not a directive
return string.format("%p", {})
