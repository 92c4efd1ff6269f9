-- SPDX-License-Identifier: CC0-1.0
-- Figures invented for the tests of the program.
return sheet {
  title = "An invented box",
  float = limits {
    min = mm(0.10), max = mm(0.60), aim = mm(0.30),
    source = owner "invented for this test",
  },
}
