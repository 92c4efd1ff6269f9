-- The longest number that a directive may write, very often.
-- ends with: too much work between two questions
while true do string.format("%-99.99f%99.99f", -1.7976931348623157e308, 1e308) end
