-- table.sort of a table whose length is a lie.
-- ends with: too much work between two questions
local t = {}
for i = 0, 62 do t[1 << i] = i end
t[3], t[5], t[math.maxinteger] = 3, 5, 9
assert(#t > 1 << 40)
table.sort(t)
