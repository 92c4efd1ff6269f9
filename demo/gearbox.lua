-- SPDX-License-Identifier: CC0-1.0
-- Unit sheet of the demonstration. The make, the gearbox, the shop and every figure in it are INVENTED;
-- use none of them on a real unit.

return sheet {
  title = "Ostrey four-speed gearbox (invented)",

  float = limits {
    min = mm(0.08), max = mm(0.30), aim = mm(0.18),
    source = maker "Ostrey workshop leaflet 7, invented for this demonstration",
  },

  shims = kit {
    unit = mm, error = mm(0.003),
    { 0.10, 4 }, { 0.15, 3 }, { 0.20, 3 }, { 0.30, 2 }, { 0.50, 2 }, { 1.00, 2 },
    source = measured "each size miked in the shop, invented for this demonstration",
  },

  gaskets = kit {
    unit = mm, error = mm(0.01), crush = 0.15, crush_error = 0.03,
    { 0.25, 2 }, { 0.40, 2 }, { 0.50, 1 }, { 0.80, 1 },
    source = practice "fibre sheet loses 10 to 20 % of its thickness when clamped; sizes invented",
  },

  nip = limits {
    min = mm(0.02), max = mm(0.14), aim = mm(0.08),
    source = owner "what has served in this shop, invented for this demonstration",
  },

  cover = joint {
    thread = "M8", class = "8.8", friction = "oiled", torque = Nm(20), bolts = 8,
    source = maker "Ostrey workshop leaflet 7, invented for this demonstration",
  },

  backlash = limits {
    min = mm(0.05), max = mm(0.30),
    source = maker "Ostrey workshop leaflet 7, invented for this demonstration",
  },

  gears = list {
    "first", "second", "third", "top",
    source = owner "as the driver calls them",
  },
}
