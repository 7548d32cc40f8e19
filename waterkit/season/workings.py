"""How the figures of the season were worked out: the start, a week of pebble, the water balance."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence

from waterkit.dates import iso_week
from waterkit.ice.freezing import HEAT_SOURCE, SECONDS_PER_HOUR, PlantRate, heat_kj_l
from waterkit.ice.pebble import PebbleRules, draw_litres
from waterkit.ice.sheet import Rink
from waterkit.season.build import Chiller, PlannedStep, SeasonDates
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
        "pebble drawn in one week",
        "(sheets pebbled x water on one of them, kind by kind + sheets scraped x water before a"
        " scrape) x (1 + stays in cans and hoses)",
        (
            Given("week from", dt.date.fromisoformat(f"{week.week}-1"), basis="worked out"),
            *inputs,
            Given("sheets scraped", scrapes, "1", "worked out"),
            Given("water before a scrape", rules.before_scrape_l, "L", path="pebble.before_scrape"),
            Given("stays in cans and hoses", rules.waste_percent, "%", path="pebble.waste"),
        ),
        week.litres,
        "L",
        COMMON_PRACTICE,
    )


def thinnest_working(weeks: Sequence[PebbleWeek], built_mm: float) -> Working:
    """How thick the ice is at the end of the week in which it is thinnest.

    Parameters
    ----------
    weeks : sequence of PebbleWeek
        The weeks of play, at least one.
    built_mm : float
        Ice at the end of the build [mm].

    Returns
    -------
    Working
        The figure with its inputs [mm].

    References
    ----------
    Balance of the ice.
    """
    thinnest = min(weeks, key=lambda week: week.ice_mm)
    until = weeks[: weeks.index(thinnest) + 1]
    return Working(
        "thinnest ice",
        "ice built + added by pebble and floods - scraped off, to the end of that week",
        (
            Given("ice built", built_mm, "mm", "worked out"),
            Given("added", sum(week.ice_added_mm for week in until), "mm", "worked out"),
            Given("scraped off", sum(week.ice_removed_mm for week in until), "mm", "worked out"),
        ),
        thinnest.ice_mm,
        "mm",
        BALANCE,
    )


def plant_working(chiller: Chiller, rate: PlantRate, water_c: float) -> Working:
    """How much water the plant freezes in an hour.

    Parameters
    ----------
    chiller : Chiller
        What is known of the plant.
    rate : PlantRate
        The figure and whose it is.
    water_c : float
        Temperature of the water put on, 0 to 60 [degC].

    Returns
    -------
    Working
        The figure with its inputs [L/h].

    References
    ----------
    Heat balance; for the heat see :func:`waterkit.ice.freezing.heat_kj_l`.
    """
    if chiller.freeze_test_l_h is not None:
        formula, source = "the freeze test as it was measured", COMMON_PRACTICE
        inputs: tuple[Given, ...] = (
            Given("freeze test", chiller.freeze_test_l_h, "L/h", path="chiller.freeze_test"),
        )
    else:
        heat = float(heat_kj_l(water_c))
        spare_kw = rate.litres_per_hour * heat / SECONDS_PER_HOUR
        formula, source = "heat to spare / heat to freeze a litre", HEAT_SOURCE
        inputs = (
            Given("heat to spare", spare_kw, "kW", rate.basis, "chiller.spare"),
            Given("heat to freeze a litre", heat, "kJ/L", "worked out"),
        )
    result = rate.litres_per_hour
    return Working("the plant freezes", formula, inputs, result, "L/h", source, rate.notes)


def changes_working(supply: Supply, fresh_l: float) -> Working:
    """How many vessels the season spends.

    Parameters
    ----------
    supply : Supply
        The season, day by day.
    fresh_l : float
        What a fresh vessel treats until it is changed [L].

    Returns
    -------
    Working
        The count with its inputs [1].

    References
    ----------
    Counted day by day.
    """
    return Working(
        "resin vessels to change",
        "counted day by day: a fresh vessel takes the lead on the day on which the litres of the"
        " one before run out",
        (
            Given("treated water made", float(supply.made[:, 0].sum()), "L", "worked out"),
            Given("left in the lead on the first day", float(supply.resin_left[0, 0]), "L",
                  "worked out"),
            Given("litres of a fresh vessel until it is changed", fresh_l, "L", "worked out"),
        ),
        float(supply.changes[:, 0].sum()),
        "1",
        BALANCE,
    )  # fmt: skip


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
