-- Each name that reaches out must be unknown; the last one too.
-- ends with: unknown name 'require'
local tries = {
  function() return io end, function() return os end, function() return debug end,
  function() return package end, function() return coroutine end, function() return load end,
  function() return loadstring end, function() return dofile end, function() return loadfile end,
  function() return setmetatable end, function() return getmetatable end, function() return rawset end,
  function() return rawget end, function() return rawequal end, function() return rawlen end,
  function() return collectgarbage end, function() return xpcall end, function() return next end,
  function() return _G end, function() return warn end, function() return string.dump end,
  function() return math.random end, function() return math.randomseed end,
}
for i, try in ipairs(tries) do if pcall(try) then return "reached", i end end
return require
