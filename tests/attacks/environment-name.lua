-- A new environment under the name of the old one.
-- ends with: the name _ENV
local _ENV = { pairs = pairs }
while true do end
