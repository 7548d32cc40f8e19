"""How to find a figure out: one sentence for each input that advice can name.

All of it common practice, no source.
"""

from collections.abc import Mapping

_TEST = "Have the next full water test include it, or ask the supplier of the water for theirs."
_CAN = "Weigh the can before and after the draw: 1 kg is 1 L."
_FLOW = "Hold a bucket under it and take the time: litres divided by the hours."
_SHEET = "Ask its supplier for the data sheet."
_PLANT = "Ask who looks after the plant: its papers and its log tell."

HINTS: Mapping[str, str] = {
    "analyte.SiO2": f"Silica loads the resin and no meter shows it. {_TEST}",
    "analyte.pH": "Measure it at the running tap, at once: it tells the carbon dioxide in it.",
    "analyte.Na": f"Sodium leaves a tired bed first. {_TEST}",
    "analyte.alkalinity": "A drop-count kit tells it in a minute; or the next full water test.",
    "chiller": (
        "Do a freeze test: flood one sheet with a known volume, time it until it is all hard."
    ),
    "vessels": "Write vessels.csv: the plate and the supplier tell litres of resin and rating.",
    "layers": "Write layers.csv: note depth and passes of each step while you build next time.",
    "draws": "Write draws.csv from the club's calendar.",
    "rink.sheet_length": "Run a tape along a side line, inside the backboards.",
    "rink.sheet_width": "Run a tape across, inside the side lines, at both ends and in the middle.",
    "rink.floor": "Measure all that gets water, walkways too; a flood's litres by its depth agree.",
    "slab.cover": "Look at the drawings of the slab, or borrow a cover meter.",
    "slab.thickness": "Look at the drawings of the slab, or at an old drill hole.",
    "slab.set_point": "Read it off the plant's display while ice is built.",
    "chiller.freeze_test": (
        "Repeat the freeze test: flood one sheet with a known volume and time it until it is hard."
    ),
    "chiller.spare": f"A freeze test replaces it. {_PLANT}",
    "chiller.capacity": f"A freeze test replaces it. {_PLANT}",
    "chiller.standing_load": f"A freeze test replaces it. {_PLANT}",
    "chiller.brine": "Read it off the plant's display on the way out.",
    "chiller.pull_down": "Note when the plant goes on and when the slab is at its set point.",
    "source.temperature": "Hold a thermometer in the running feed for a minute, autumn and winter.",
    "source.blend": "Read both water meters for a month.",
    "train.carbon.litres": _SHEET,
    "train.carbon.chlorine": "Dip a test strip for free chlorine into the feed.",
    "train.softener.resin": "Read its plate, or ask its supplier.",
    "train.softener.capacity": (
        "Count the litres from a regeneration until a hardness strip shows the first trace."
    ),
    "train.softener.salt_per_regeneration": "Weigh the salt put in over ten regenerations.",
    "train.reverse osmosis.output": f"At the permeate, with the feed's temperature noted. {_FLOW}",
    "train.reverse osmosis.temperature_factor": _SHEET,
    "train.reverse osmosis.concentrate_flow": f"At the drain. {_FLOW}",
    "train.reverse osmosis.recovery": (
        "Bucket and watch at permeate and at drain: permeate divided by both together."
    ),
    "train.reverse osmosis.rejection": "Have feed and permeate tested on the same day.",
    "train.di.flow": f"At the outlet of the resin. {_FLOW}",
    "train.tank.volume": "Fill it through a water meter, or measure it inside.",
    "train.tank.heel": "Pump it dry once and bail out the rest with a jug.",
    "train.tank.air_co2": "Hang up a room-air meter during a league evening.",
    "meter.coefficient": "Read one sample cold, then warmed in a closed jar: both should agree.",
    "pebble.league": _CAN,
    "pebble.bonspiel": _CAN,
    "pebble.practice": _CAN,
    "pebble.lesson": _CAN,
    "pebble.before_scrape": "Weigh the can before and after: 1 kg is 1 L.",
    "pebble.scrapes_per_week": "Keep a tally at the scraper for two full weeks.",
    "pebble.removed_per_scrape": (
        "Weigh the shavings of a sheet, or drill at marked spots before and after ten scrapes."
    ),
    "pebble.sheet_use": "Count the sheets on the score sheets of last season.",
    "pebble.waste": "Weigh what is poured away after a week of draws.",
    "pebble.relevel": "Read the tank's marks before and after such a flood.",
    "white.powder_density": _SHEET,
    "white.ratio": f"It says whether a litre of water or of mix is meant. {_SHEET}",
    "white.per_coat": "Read the paint tank's marks before and after a coat; divide by the area.",
    "white.loss": "Compare what was mixed with what the coats took; weigh a card beside the sheet.",
    "white.heel": "Bail out once what the paint pump leaves.",
    "boom.width": "Spray once over a dry floor and measure the wet strip.",
    "boom.nozzle_flow": "Hold a jug under one nozzle for a minute; repeat with a second one.",
    "boom.pace": "Time one pass; divide the sheet's length by the seconds.",
    "flush.fresh": "Count the litres after a change until the meter stands still.",
    "flush.stood": "Count the litres after a pause until the meter stands still.",
    "flush.hose": "Drain the hose into a bucket.",
    "vessels.resin": "Read the vessel's plate, or ask the supplier how many litres it holds.",
    "vessels.rated": "Ask the supplier what it is rated, on which load, and to which end.",
    "vessels.cation_total": _SHEET,
    "vessels.anion_total": _SHEET,
    "vessels.cation_share": "Ask the supplier for the mix of both resins.",
    "vessels.regenerated_share": "Ask the supplier how far the resin is regenerated.",
    "vessels.usable_share": "Note litres and reading at each change: a few changes tell it.",
    "layers.depth_per_pass": "Read the tank's marks before and after a pass; divide by the area.",
    "layers.litres_per_pass_and_sheet": "Weigh can or sprayer before and after one sheet.",
    "layers.loss": "Read the tank's marks and compare with the thickness of a drill hole.",
    "layers.minimum_wait": "Note when a pass is put on and when the next one holds.",
    "items.rate": "Count what was used last season: bills, and what is left on the shelf.",
}
