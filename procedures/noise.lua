-- SPDX-License-Identifier: CC0-1.0
-- Where a gearbox is heard: the same survey before and after, so that one can be held against the other.

local noise = {}

local columns = { "drive", "float", "overrun" }
local marks = { none = 0, slight = 1, marked = 2 }

-- Asks for a mark for each gear and state of load. Returns marks[gear][state].
function noise.survey(id, how, gears)
  return grid {
    id = id,
    say = how .. ": where is the noise heard?",
    rows = gears,
    columns = columns,
    options = { "none", "slight", "marked" },
    caution = "A road test is for a licensed driver on a public road, one drives and another listens; on "
      .. "a stand, guard what turns and keep sleeves and hair away.",
    help = "Drive: pulling. Float: just holding the speed. Overrun: throttle shut, the vehicle pushing.",
  }
end

-- Whether any gear and state got worse.
function noise.worse(before, after, gears)
  for _, gear in ipairs(gears) do
    for _, state in ipairs(columns) do
      if marks[after[gear][state]] > marks[before[gear][state]] then
        return true
      end
    end
  end
  return false
end

return noise
