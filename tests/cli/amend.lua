return procedure { title = 'Pump', phases = { 'One', 'Two' }, run = function()
  phase 'One'
  note { id = 'first', say = 'What came in?' }
  local way = choose { id = 'way', say = 'Which way?', options = { 'plain', 'words', 'work', 'wrong' } }
  if way == 'words' then note { id = 'more', say = 'Tell more.' } end
  local found = measure { id = 'found', say = 'Read.', unit = mm, gauge = 'dial indicator', readings = 2,
                          spread = mm(9), plausible = { mm(0), mm(2) } }
  if way == 'work' then task { id = 'strip', say = 'Strip it again.' } end
  if way == 'wrong' then local none; none() end
  phase 'Two'
  task { id = 'shim', say = 'Fit what makes up for ' .. tostring(found) .. '.' }
  note { id = 'seen', say = 'What did you see?' }
  measure { id = 'left', say = 'Read again.', unit = mm, gauge = 'dial indicator' }
  sign { id = 'release', role = 'technician' }
end }
