"""One line for each key of a new club.toml: what it is, and how to find it out.

Keys as in the file, ``rink.sheets``; a process of the train by its kind, ``train.di.flow``. How to
find a figure out is common practice, no source.
"""

from collections.abc import Mapping

TOP = """\
Common figures to start from. A quantity is text with its unit, "25 mm", or a table that also says
how sure it is:
    { value = "25 mm", low = "20 mm", high = "30 mm", basis = "measured", note = "two holes" }
The true figure is below low in one case out of ten, above high in one out of ten. basis is one of
measured, quoted, assumed. All figures here are assumed: replace one by yours, and say so. A line
that begins with # is not read; take the # away once you know the figure.

how this file is written; leave it at 1"""

COMMENTS: Mapping[str, str] = {
    "format": TOP,
    "name": "stands at the head of every page",
    "display": "units on the pages: metric or us; the files may use any",
    "currency": "three letters; all prices and charges are in it",
    "locale": "language and region that dates and numbers are written for: en, en-CA, de-CH",
    "timezone": "where the hall stands, such as Europe/Berlin or America/Toronto",
    "season.first_draw": "opening day: the club's calendar",
    "season.last_draw": "last day of play: the club's calendar",
    "season.closures": "days off: [{ from = 2027-12-20, until = 2028-01-02, relevel = true }]",
    "season.work_hours": "hours of a day, from 08:00, in which somebody can put water on",
    "rink.sheets": "count them",
    "rink.sheet_length": "inside the backboards: a tape along one side line",
    "rink.sheet_width": "inside the side lines or dividers: a tape, at both ends and in the middle",
    "rink.floor": "all that gets water, with dividers and walkways: a tape; else the sheets count",
    "slab.cover": "concrete over the pipes: drawings, or a cover meter",
    "slab.thickness": "whole slab: drawings, or a drill hole",
    "slab.set_point": "of the slab while ice is built: the plant's display",
    "chiller.freeze_test": (
        "flood one sheet with a known volume, time it until it is hard all over: litres in\n"
        "an hour, times the number of sheets that freeze at once"
    ),
    "chiller.spare": "instead: heat the plant can take beside the hall's own: its papers and log",
    "chiller.capacity": "instead: all heat that the plant can take: its papers",
    "chiller.standing_load": "with capacity, heat of the hall: the plant's log on an idle day",
    "chiller.brine": "coolant on its way out: the plant's display",
    "chiller.plant_on": "day the plant is switched on, such as 2027-09-13: ask who runs it",
    "chiller.pull_down": "warm slab to set point: the plant's log of last autumn",
    "people.crew": "how many help on a day of building or painting: last year's list",
    "people.release": "the role that may release water that is on hold at the tank",
    "source.temperature": (
        "thermometer in the running feed for a minute, in autumn and in winter; or by month:\n"
        '{ jan = "7 degC", feb = "7 degC", ... } with all twelve'
    ),
    "source.blend": 'only where sources are mixed: { well = "60 %", town = "40 %" }: the valves',
    "train": "one [[train]] for each thing the water passes, in the order it runs: follow the hose",
    "train.di": (
        "one [[train]] for each thing the water passes, in the order it runs: follow the hose.\n"
        "Mixed-bed vessels in series; vessels.csv tells about each."
    ),
    "train.di.kind": "what it is: filter, carbon, softener, reverse osmosis, di, tank, bought in",
    "train.di.positions": 'follow the hose: ["single"], or ["lead", "lag"] as the water runs',
    "train.di.flow": "bucket and watch at the outlet",
    "train.tank": "Storage tank.",
    "train.tank.kind": "what it is, as above",
    "train.tank.volume": "up to the overflow: the plate, or measure it",
    "train.tank.heel": "what the pump leaves behind: pump it dry once and bail out the rest",
    "train.tank.reserve": "share of a flood that must be there on top before it begins: your rule",
    "train.tank.open": "false only if no air reaches the water: look at lid and vent",
    "train.tank.air_co2": "in the hall while people are in it: a room-air meter",
    "changeout.at": 'first of these marks: "90 % of rated litres", "5 uS/cm", "silica 0.5 mg/L"',
    "changeout.spare": "fresh vessels that the club wants in the store: your rule",
    "meter.name": "as it is called in the log",
    "meter.compensation": "none, linear, natural water, pure water: its manual or menu",
    "meter.coefficient": "for linear: its manual, or show it one sample cold and then warm",
    "meter.reference": "temperature that it turns to: its manual or menu; some show 20 degC",
    "meter.resolution": "last digit of the display: look",
    "meter.factor": "ppm for 1 uS/cm, only for a meter that shows ppm: its manual",
    "meter.standard": "the liquid it is checked with: the bottle",
    "meter.opened": "day the bottle was opened: write it on the bottle",
    "pebble.league": "on one sheet before a draw: weigh the can before and after, 1 kg is 1 L",
    "pebble.bonspiel": "the same before a draw of a bonspiel: weigh the can",
    "pebble.practice": "the same before practice: weigh the can",
    "pebble.lesson": "the same before a lesson: weigh the can",
    "pebble.before_scrape": "on one sheet before it is scraped: weigh the can",
    "pebble.scrapes_per_week": "of each sheet in a full week: the ice log",
    "pebble.removed_per_scrape": "weigh the shavings of a sheet, or drill before and after ten",
    "pebble.sheet_use": "sheets in play in a draw that does not say how many: score sheets",
    "pebble.waste": "left in cans and hoses: weigh what is poured away",
    "pebble.relevel": "one sheet in a re-levelling flood: tank marks before and after",
    "white.powder": "what is in it: section 3 of its data sheet",
    "white.powder_density": "of the dry powder: its data sheet",
    "white.ratio": '"0.1 kg/L water" or "0.1 kg/L mix": its data sheet says which',
    "white.coats": "as many as it took last year; stop when the white is even",
    "white.per_coat": "mix of one coat divided by its area: tank marks",
    "white.loss": "overspray and hose: what was mixed, less what the coats took",
    "white.tank": "mixing tank up to its mark: the plate, or fill it by the bucket",
    "white.heel": "what the paint pump cannot draw: bail it out once",
    "white.jug": "jug for weighing water and mix, best with a narrow neck: the same mark each time",
    "white.jug_fill": "how well the jug is filled twice to the same mark: weigh it a few times",
    "white.scale": "smallest step of the scale: its plate",
    "white.slab_reflectance": "of the bare slab: a reflectometer",
    "white.patch_black": "test patch: a known mass over a black panel, read frozen or wet",
    "white.patch_white": "the same over a white panel",
    "white.patch_one_coat": "instead: one coat over the black panel, read frozen or wet",
    "white.patch_three_coats": "and three coats over the black panel, read frozen or wet",
    "white.patch_grams": "powder on a square metre of the patch: weigh the panel before and after",
    "white.panel_black": "the bare black panel: a reflectometer",
    "white.panel_white": "the bare white panel: a reflectometer",
    "white.reflectance_error": "how far a reading may be off: the reflectometer's manual",
    "boom.width": "spray width on the ice: a tape",
    "boom.nozzles": "count them",
    "boom.nozzle_flow": "one nozzle into a jug for a minute",
    "boom.pace": "length of a sheet divided by the seconds it takes",
    "colours": "Of the rings; empty stays white.",
    "colours.ring_12": "8 to 12 foot: your choice",
    "colours.ring_8": "4 to 8 foot: your choice",
    "colours.ring_4": "button to 4 foot: your choice",
    "colours.button": "the button itself: your choice",
    "colours.coats": "coats of colour: as many as it took last year",
    "colours.per_coat": "colour of one coat divided by its area: weigh the can before and after",
    "colours.discs": "true if the houses are discs of fabric",
    "colours.guide_lines": "true for 4-foot lines from tee to tee",
    "colours.wheelchair": "true if the wheelchair lines are laid",
    "colours.mixed_doubles": "true if the mixed-doubles marks are laid",
    "colours.spare": "colour, yarn and tape bought on top: your rule",
    "fouling": "The most of each before membrane or resin; its data sheet decides.",
    "fouling.iron": "its data sheet",
    "fouling.manganese": "its data sheet",
    "fouling.aluminium": "its data sheet",
    "fouling.barium": "its data sheet",
    "fouling.strontium": "its data sheet",
    "fouling.ammonium": "its data sheet",
    "fouling.boron": "its data sheet",
    "fouling.organic_carbon": "its data sheet",
    "fouling.chlorine": "its data sheet",
    "fouling.turbidity": "its data sheet",
    "flush": "Drained, not used.",
    "flush.fresh": "litres for each litre of resin of a fresh vessel, until the meter stands still",
    "flush.stood": "the same after some days without flow",
    "flush.hose": "a day with the hose out: hose length times its content",
    "budget.last_year": "what the same items cost last year, tax and delivery included: the books",
    "budget.contingency": "on every item that has none of its own: your rule",
    "budget.holidays": "days on which suppliers do not work, such as [2027-12-25]: a calendar",
    "budget.quote_age": "a quote older than this is marked: your rule",
    "budget.buffer": "a delivery should be there this much before it is needed: your rule",
}
