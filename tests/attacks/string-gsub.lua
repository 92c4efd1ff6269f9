-- gsub with a pattern that explodes.
-- ends with: unknown name 'string.gsub'
return (("x"):rep(200000)):gsub("x", ("y"):rep(200000))
