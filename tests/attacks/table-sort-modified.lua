-- The comparison of table.sort takes the table apart while it is sorted.
-- ends with: survived
local t = {}
for i = 1, 100 do t[i] = i end
table.sort(t, function(a, b) for i = 1, 100 do t[i] = nil end return a < b end)
error("survived, as it may")
