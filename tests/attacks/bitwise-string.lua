-- Operators on texts, which must not be numbers.
-- ends with: arithmetic on a string value
return "10" + 1, "7" & 3
