-- Directives with a width and a precision that overflow a buffer.
-- ends with: too long in a directive
return string.format("%999999999d %.999999999f %-99999s", 1, 1.5, "x")
