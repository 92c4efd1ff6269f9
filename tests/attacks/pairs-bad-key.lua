-- pairs on a table with a key that has no order, to learn about addresses.
-- ends with: a key is a 
for k in pairs({ [{}] = 1, [function() end] = 2 }) do error(tostring(k)) end
