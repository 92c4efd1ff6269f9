-- table.unpack over the whole range of integers.
-- ends with: more than 250 results
return table.unpack({}, math.mininteger, math.maxinteger)
