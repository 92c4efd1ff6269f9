-- Dividing integers by zero, and the smallest by -1.
-- ends with: attempt to divide by zero
local a = math.mininteger // -1 + math.mininteger % -1
return a // 0
