-- An endless loop that catches what stops it, again and again.
-- ends with: too much work between two questions
while true do pcall(function() while true do end end) end
