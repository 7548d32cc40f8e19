"""How the figures of the season were worked out: the start, a week of pebble, the water balance."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence

from waterkit.dates import iso_week
from waterkit.ice.pebble import PebbleRules, draw_litres
from waterkit.ice.sheet import Rink
from waterkit.season.build import PlannedStep, SeasonDates
from waterkit.season.demand import IceDay, PebbleWeek, Play
from waterkit.season.supply import Supply
from waterkit.working import BALANCE, CALENDAR, COMMON_PRACTICE, Given, Working


def start_working(steps: Sequence[PlannedStep], season: SeasonDates, start: dt.datetime) -> Working:
    """How the latest start of the build was found."""
    to_come = [step for step in steps if not step.done]
    waiting = sum(step.water.passes * step.hours.wait_per_pass_h for step in to_come)
    return Working(
        "latest start of the build",
        "counted back from the first draw: each step waits for those it needs, water is put on in"
        " working hours only, and ice freezes at night too",
        (
            Given("first draw", season.first_draw, basis="quoted"),
            Given("putting on, all steps", sum(s.hours.apply_h for s in to_come), "h",
                  "worked out"),
            Given("freezing and waiting, all steps", waiting, "h", "worked out"),
            Given("working hours of a day", season.work_hours_h, "h", path="season.work_hours"),
        ),
        start,
        "",
        CALENDAR,
    )  # fmt: skip


def pebble_week_working(
    week: PebbleWeek,
    plays: Iterable[Play],
    days: Iterable[IceDay],
    rink: Rink,
    rules: PebbleRules,
) -> Working:
    """How the pebble water of one week was worked out."""
    sheets: dict[str, float] = defaultdict(float)
    for play in plays:
        if iso_week(play.day) == week.week:
            sheets[play.kind] += play.draws * play.sheets
    scrapes = sum(day.scrapes for day in days if iso_week(day.day) == week.week) * rink.sheets
    inputs: list[Given] = []
    for kind, count in sheets.items():
        litres = draw_litres(kind, rules)  # type: ignore[arg-type]
        inputs.append(Given(f"sheets pebbled, {kind}", count, "1", "worked out"))
        inputs.append(Given(f"water on one of them, {kind}", litres, "L", path=f"pebble.{kind}"))
    return Working(
        f"pebble water, {week.week}",
        "sheets pebbled x water on each, sheets scraped x water before a scrape, and what stays in"
        " cans and hoses",
        (
            *inputs,
            Given("sheets scraped", scrapes, "1", "worked out"),
            Given("water before a scrape", rules.before_scrape_l, "L", path="pebble.before_scrape"),
            Given("stays in cans and hoses", rules.waste_percent, "%", path="pebble.waste"),
        ),
        week.litres,
        "L",
        COMMON_PRACTICE,
    )


def treated_water_working(supply: Supply) -> Working:
    """How much treated water the season takes."""
    used, lost = float(supply.used[:, 0].sum()), float(supply.lost[:, 0].sum())
    start, left = float(supply.start[0, 0]), float(supply.left[-1, 0])
    return Working(
        "treated water",
        "used on the ice + lost + left in the tank at the end - in the tank at the start",
        (
            Given("used on the ice", used, "L", "worked out"),
            Given("lost: rinsing, hoses, beside the ice", lost, "L", "worked out"),
            Given("left in the tank at the end", left, "L", "worked out"),
            Given("in the tank at the start", start, "L", "worked out"),
        ),
        float(supply.litres_di[0]),
        "L",
        BALANCE,
    )
