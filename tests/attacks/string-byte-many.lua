-- Very many results of one call.
-- ends with: too many results
return ("x"):rep(200000):byte(1, -1)
