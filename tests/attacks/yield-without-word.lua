-- Leaving the slice without a question.
-- ends with: unknown name 'coroutine'
coroutine.yield(1)
