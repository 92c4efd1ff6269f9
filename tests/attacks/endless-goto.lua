-- An endless loop made of goto.
-- ends with: too much work between two questions
::again:: goto again
