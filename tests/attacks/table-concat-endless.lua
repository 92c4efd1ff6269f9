-- table.concat over the whole range of integers.
-- ends with: item -9223372036854775808
return table.concat({ "a" }, ",", math.mininteger, math.maxinteger)
