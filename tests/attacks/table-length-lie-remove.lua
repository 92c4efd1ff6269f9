-- table.remove from a table whose length is a lie.
-- ends with: position out of bounds
local t = {}
for i = 0, 62 do t[1 << i] = i end
t[3], t[5], t[math.maxinteger] = 3, 5, 9
assert(#t > 1 << 40)
table.remove(t, 1)
