-- string.rep to a size that no machine holds.
-- ends with: longer than 256 KiB
return ("x"):rep(1 << 40)
