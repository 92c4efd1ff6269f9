-- Getting the environment through a function's own tables.
-- ends with: unknown name 'string.__index'
for name, value in pairs(string) do value = nil end
return string["__index"]
