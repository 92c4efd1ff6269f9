-- An error that is a table: its address must not come out.
-- ends with: a value of kind table
error({})
