-- SPDX-License-Identifier: CC0-1.0
-- End float of a gearbox shaft: find it, set it with shims, close up and prove it.
--
-- For a shaft held between two bearings, its float set by shims under a bearing retainer or in the case.
-- The maker's data for the unit, where you have them, come before anything here.

local noise = require "noise"

return procedure {
  title = "Gearbox shaft: end float found, set and proved",
  phases = { "Receive", "As found", "Inspect", "Fit-up", "Close up", "Prove" },

  sheet = {
    float = "limits",         -- end float of the shaft
    shims = "kit",            -- shims at hand
    gaskets = "kit",          -- gaskets at hand for the cover
    nip = "limits",           -- nip of the cover on its bearing
    cover = "joint",          -- bolts of the cover
    backlash = "limits",      -- backlash of a pair of gears
    gears = "list",           -- gears, as the driver calls them
  },

  run = function(sheet)
    phase "Receive"
    note { id = "complaint", say = "What does the owner complain of? In their words.", required = true }
    local before = noise.survey("noise-as-found", "On the road or the stand, before anything is opened",
                                sheet.gears)

    phase "As found"
    task {
      id = "to-the-bench",
      say = "Drain the oil, keep a sample, and bring the gearbox to the bench.",
      caution = "A gearbox is heavy: use a hoist or a second person. Oil may be hot; wear gloves.",
      help = "Look at the drained oil and at the magnet: bronze says synchroniser, bright flakes say "
        .. "bearing or gear, fine grey paste is ordinary wear.",
    }
    local found = measure {
      id = "float-as-found",
      say = "Before anything is undone: pull the shaft out, zero the dial, push it in, read.",
      unit = mm, gauge = "dial indicator", readings = 3, plausible = { mm(0), mm(2) }, limits = sheet.float,
      help = "Push and pull by hand only, the same each time. Turn the shaft a quarter between readings.",
    }
    check { id = "as-found", name = "end float", value = found, limits = sheet.float, found = true }
    local fitted = measure {
      id = "stack-as-found",
      say = "Take off the retainer. Mike the shims that come out, all together.",
      unit = mm, gauge = "micrometer", plausible = { mm(0), mm(5) },
      help = "Wipe them dry, press them flat; count them and look for one folded over or torn.",
    }

    phase "Inspect"
    inspect {
      id = "gears-and-shaft", say = "Look at teeth, dogs, and the shaft's bearing seats.",
      caution = "Compressed air drives swarf into skin and eyes, and a bearing spun with it can burst: "
        .. "wear glasses, and don't spin bearings with air.",
    }
    part { id = "old-bearing", part = "bearing, as found",
           say = "Wash it, oil it, spin it by hand, and feel it: the bearing as found." }
    local decision = part {
      id = "new-bearing", part = "bearing, new",
      say = "If a new bearing was bought, compare it with the old one: balls counted, widths miked, "
        .. "play felt. A new part can be the worse one.",
      help = "Fewer balls of the same size carry less. A wider ring moves the end float by as much.",
    }
    if decision == "reject" then
      note { id = "new-bearing-goes", say = "Where does the rejected bearing go, so that nobody fits it?",
             required = true }
    end

    check {
      id = "backlash", name = "backlash of the worst pair", limits = sheet.backlash,
      value = function()
        return measure {
          id = "backlash-read",
          say = "Hold one gear of the worst pair, rock the other, read the dial at its teeth.",
          unit = mm, gauge = "dial indicator", plausible = { mm(0), mm(2) },
          help = "Dial square to the flank, at the pitch line. Worn teeth are renewed, or conceded.",
        }
      end,
    }

    phase "Fit-up"
    local fit = shims.fit { id = "shaft-shims", kit = sheet.shims, limits = sheet.float, most = 4,
                            settle = mm(0.005) }
    fit:learn(fitted, found)
    local trial = 0
    local stack, verdict
    repeat
      if not stack then
        trial = trial + 1
        stack = fit:choose()
        task {
          id = "fit-stack",
          say = "Trial " .. trial .. ". Fit " .. tostring(stack) .. ". Seat the bearing home, fit the retainer, "
            .. "turn the shaft ten times.",
          caution = "Strike the bearing only with a soft drift on the ring that is being fitted, and wear "
            .. "glasses: rings are hard and splinter. Keep fingers out of the bore.",
        }
      end
      local now = measure {
        id = "float-on-trial",
        say = "Pull the shaft out, zero the dial, push it in, read.",
        unit = mm, gauge = "dial indicator", readings = 3, plausible = { mm(0), mm(2) }, limits = sheet.float,
      }
      local outcome = fit:learn(stack, now)
      if outcome.surprise then
        note { id = "surprise", say = "What was it? Say what was found, or that nothing was.",
               required = true }
      end
      verdict = check { id = "as-left", name = "end float", value = now, limits = sheet.float }
      local again = verdict.doubtful and not verdict.accepted and choose {
        id = "doubtful",
        say = "The reading is too near a limit for this gauge. What next?",
        options = { "next trial", "measure again with the same shims" },
      }
      if again ~= "measure again with the same shims" then
        stack = nil
      end
    until verdict.accepted

    hold {
      id = "before-closing", role = "inspector",
      say = "Hold point: before the cover goes on another person turns the shaft, feels its end float, "
        .. "looks in for what was left behind, and signs.",
      meaning = "I turned the shaft, felt its end float and looked inside; it may be closed.",
    }

    phase "Close up"
    local gap = measure {
      id = "cover-gap",
      say = "Set the cover down bare, finger tight, no gasket. Feel the gap at four places around it.",
      unit = mm, gauge = "feeler gauge", readings = 4, plausible = { mm(0.05), mm(2) }, spread = mm(0.05),
      help = "The same all round to within 0.05 mm, or the cover is not down square.",
    }
    local gasket = gaskets.choose { id = "cover-gasket", gap = gap, kit = sheet.gaskets, nip = sheet.nip }
    task {
      id = "fit-gasket",
      say = "Fit the cover with the gasket of " .. tostring(gasket) .. ". Faces clean, dry, no burrs; dowels in.",
      caution = "Gasket scrapers cut and solvent vapour burns: cut away from the hand, no flame, fresh air.",
    }
    tighten {
      id = "cover-bolts", joint = sheet.cover, passes = { 0.5, 1.0, 1.0 },
      say = "Threads clean and oiled.",
      caution = "A cast case strips when it is overtightened, and a wrench that slips hurts: pull steadily, "
        .. "towards you, and stop at the click.",
    }
    task { id = "oil", say = "Fill with the oil that the maker or the owner asks for; no drip after ten minutes." }

    phase "Prove"
    choose {
      id = "turned-by-hand", say = "Turn it by hand in each gear. How does it turn?",
      options = { "free and even in every gear", "tight or uneven: see the notes" },
    }
    local after = noise.survey("noise-as-left", "The same test as before, the same road or stand",
                               sheet.gears)
    if noise.worse(before, after, sheet.gears) then
      note { id = "worse", say = "A noise is worse than before. What is to be done about it?",
             required = true }
    end
    note { id = "for-the-owner", say = "Anything the owner should know?" }
    sign { id = "release", role = "technician" }
  end,
}
