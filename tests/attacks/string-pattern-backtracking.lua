-- A pattern that backtracks without an end.
-- ends with: there are no patterns here
return string.find(("a"):rep(30000), ("a*"):rep(30) .. "b")
