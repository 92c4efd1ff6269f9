-- A text that is not UTF-8 in an error message.
-- ends with: ??????
error("\xff\xfe\x80" .. ("\xe2\x82"):rep(1000))
