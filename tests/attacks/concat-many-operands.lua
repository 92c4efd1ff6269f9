-- One instruction that joins two hundred long texts.
-- ends with: a text grew beyond 256 KiB
local a = ("x"):rep(200000)
while true do local s = a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a .. a end
