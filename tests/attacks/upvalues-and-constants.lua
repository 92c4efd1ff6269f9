-- A function with very many constants, compiled near its limits.
-- ends with: no integer representation
local t = { 1.5 }
for i = 1, 300 do t[i] = i + 0.25 end
local n = 0
for i = 1, #t do n = n + t[i] & 0xFF end
