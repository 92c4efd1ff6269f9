-- SPDX-License-Identifier: CC0-1.0
-- A short invented job for the tests of the program.
return procedure {
  title = "End float of an invented shaft",
  phases = { "As found", "Close up" },
  sheet = { float = "limits" },

  run = function(sheet)
    phase "As found"
    task { id = "drain", say = "Drain the oil.", caution = "Hot oil burns." }
    local found = measure {
      id = "end-float", say = "Shaft out, zero, shaft in, read.",
      unit = mm, gauge = "dial indicator", readings = 2, plausible = { mm(0), mm(3) },
    }
    check { id = "as-found", name = "end float as found", value = found, limits = sheet.float, found = true }
    phase "Close up"
    choose { id = "turns", say = "How does it turn?", options = { "free", "tight" } }
    note { id = "remark", say = "Anything to add?" }
    sign { id = "release", role = "technician" }
  end,
}
