-- An environment that is a constant: miscompiled by some releases.
-- ends with: the name _ENV
local _ENV <const> = 1
x = y
