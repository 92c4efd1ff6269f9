-- table.move over the whole range of integers.
-- ends with: too much work between two questions
table.move({}, 1, math.maxinteger - 1, 1, {})
