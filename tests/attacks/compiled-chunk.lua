Lua
-- A compiled chunk, which nobody may load.
-- ends with: compiled, not text
