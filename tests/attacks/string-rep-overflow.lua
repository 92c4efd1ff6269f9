-- string.rep with a size that overflows.
-- ends with: longer than 256 KiB
return string.rep("abcdefgh", math.maxinteger // 4, "ijklmnop")
