-- An error with a very long message.
-- ends with: long long long
error(("long "):rep(50000))
