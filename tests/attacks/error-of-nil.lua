-- An error that is nil, inside pcall and outside.
-- ends with: a value of kind nil
pcall(error) pcall(error, nil) error(nil)
