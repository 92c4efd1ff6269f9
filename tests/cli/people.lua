-- SPDX-License-Identifier: CC0-1.0
-- A short invented job that one person does and another looks at.
return procedure {
  title = "Cover of an invented box",
  phases = { "Close up" },

  run = function()
    phase "Close up"
    task { id = "cover", say = "Set the cover down." }
    hold { id = "look", role = "inspector", say = "Look inside before it is closed.", meaning = "I looked inside; it may be closed." }
    task { id = "close", say = "Close it." }
    sign { id = "release", role = "technician" }
  end,
}
