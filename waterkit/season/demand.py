"""Demand: the draw calendar opened out into days, and the water that each day asks for."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from waterkit.dates import ONE_DAY, days_between, iso_week
from waterkit.ice.pebble import (
    PebbleRules,
    PlayKind,
    drawn_litres,
    pebble_ice_mm,
    pebble_litres,
    relevel_litres,
    scrape_litres,
    scraped_mm,
    sheets_in_use,
)
from waterkit.ice.sheet import Rink, sheets_area_m2
from waterkit.quantities import BED_VOLUMES, VOLUME
from waterkit.season.build import PlannedStep, SeasonDates
from waterkit.water.limits import USES, Use

if TYPE_CHECKING:
    import pandas as pd

    DemandTable = pd.DataFrame

DrawKind = Literal["league", "bonspiel", "practice", "lesson", "closed"]
FROM_TANK = ("tank", "DI outlet")


@dataclass(frozen=True, slots=True)
class DrawRow:
    """One row of draws.csv: a date or a weekly rule.

    ``on`` is a date, or a weekday's number (Monday 0) for a weekly rule that holds ``from_`` to
    ``until`` (empty: the whole season). A dated row replaces that day's weekly rows, ``closed``
    wins, two dated rows add. ``sheets`` None: the sheets in use by ``[pebble] sheet_use``.
    """

    on: dt.date | int
    from_: dt.date | None = None
    until: dt.date | None = None
    start: dt.time | None = None
    end: dt.time | None = None
    draws: int = 1
    sheets: int | None = None
    kind: DrawKind = "league"


@dataclass(frozen=True, slots=True)
class Flush:
    """Water drained: bed volumes of a fresh vessel and of one that stood, and hose litres a day."""

    fresh_bv: Annotated[float, BED_VOLUMES] = 5.0
    stood_bv: Annotated[float, BED_VOLUMES] = 1.0
    hose_l: Annotated[float, VOLUME] = 17.0


@dataclass(frozen=True, slots=True)
class Play:
    """Draws of one kind on one day, on so many sheets (a mean, so it may be a fraction)."""

    day: dt.date
    kind: PlayKind
    draws: int
    sheets: float


@dataclass(frozen=True, slots=True)
class IceDay:
    """One day's care of the ice: water that reaches it [L], scrapes of each sheet, re-levelling."""

    day: dt.date
    draws: int
    pebble_l: float
    scrapes: float
    relevel_l: float


@dataclass(frozen=True, slots=True)
class PebbleWeek:
    """One ISO week: draws, water drawn with waste [L], and the ice at its end [mm]."""

    week: str
    draws: int
    litres: float
    relevel_litres: float
    ice_added_mm: float
    ice_removed_mm: float
    ice_mm: float


# Common practice, no source: two draws on weekday evenings, three on each day of the weekend.
COMMON_DRAWS = tuple(DrawRow(weekday, draws=n) for weekday, n in enumerate((2, 2, 2, 2, 2, 3, 3)))


def open_calendar(
    rows: Sequence[DrawRow], season: SeasonDates, rink: Rink, rules: PebbleRules
) -> tuple[Play, ...]:
    """Every day's draws of a season, in order of date, from dated rows and weekly rules."""
    dated: dict[dt.date, list[DrawRow]] = defaultdict(list)
    weekly: dict[int, list[DrawRow]] = defaultdict(list)
    for row in rows:
        (weekly[row.on] if isinstance(row.on, int) else dated[row.on]).append(row)
    shut = {
        day for closure in season.closures for day in days_between(closure.from_, closure.until)
    }
    plays = []
    for day in days_between(season.first_draw, season.last_draw):
        today = dated.get(day) or [row for row in weekly[day.weekday()] if _holds(row, day)]
        if day in shut or any(row.kind == "closed" for row in today):
            continue
        plays += [_play(row, day, rink, rules) for row in today]
    return tuple(plays)


def _holds(row: DrawRow, day: dt.date) -> bool:
    return (row.from_ is None or row.from_ <= day) and (row.until is None or day <= row.until)


def _play(row: DrawRow, day: dt.date, rink: Rink, rules: PebbleRules) -> Play:
    assert row.kind != "closed"
    sheets = row.sheets if row.sheets is not None else float(sheets_in_use(rink.sheets, rules))
    return Play(day, row.kind, row.draws, sheets)


def ice_days(
    plays: Iterable[Play], season: SeasonDates, rink: Rink, rules: PebbleRules
) -> tuple[IceDay, ...]:
    """The care of the ice on each day of play or re-levelling, in order of date.

    The scrapes of a full week are spread evenly over its days of play; the busiest week of the
    season counts as full.
    """
    by_day: dict[dt.date, list[Play]] = defaultdict(list)
    for play in plays:
        by_day[play.day].append(play)
    scrapes_a_day = rules.scrapes_per_week / _days_of_a_full_week(by_day)
    relevels = {closure.from_ for closure in season.closures if closure.relevel}
    return tuple(
        _ice_day(day, by_day.get(day, []), scrapes_a_day, day in relevels, rink, rules)
        for day in sorted(by_day.keys() | relevels)
    )


def _days_of_a_full_week(days: Iterable[dt.date]) -> int:
    count: dict[str, int] = defaultdict(int)
    for day in days:
        count[iso_week(day)] += 1
    return max(count.values(), default=1)


def _ice_day(
    day: dt.date, plays: list[Play], scrapes: float, relevel: bool, rink: Rink, rules: PebbleRules
) -> IceDay:
    scrapes = scrapes if plays else 0.0
    pebble = sum(float(pebble_litres(play.draws, play.sheets, play.kind, rules)) for play in plays)
    return IceDay(
        day,
        sum(play.draws for play in plays),
        pebble + float(scrape_litres(scrapes, rink.sheets, rules)),
        scrapes,
        float(relevel_litres(int(relevel), rink.sheets, rules)),
    )


def pebble_weeks(
    days: Iterable[IceDay], rink: Rink, rules: PebbleRules, built_ice_mm: float
) -> tuple[PebbleWeek, ...]:
    """Water and ice week by week.

    Parameters
    ----------
    days : iterable of IceDay
        The care of the ice, in order of date.
    rink : Rink
        Its sheets.
    rules : PebbleRules
        What a draw and a scrape take.
    built_ice_mm : float
        Ice as built, with which the ledger starts [mm].

    Returns
    -------
    tuple of PebbleWeek
        One for each ISO week with play or re-levelling, in order.
    """
    weeks: dict[str, list[IceDay]] = defaultdict(list)
    for day in days:
        weeks[iso_week(day.day)].append(day)
    area, ice, ledger = sheets_area_m2(rink), built_ice_mm, []
    for week, members in weeks.items():
        pebble, relevel = (sum(m.pebble_l for m in members), sum(m.relevel_l for m in members))
        added = float(pebble_ice_mm(pebble + relevel, area))
        removed = float(scraped_mm(sum(member.scrapes for member in members), rules))
        ice += added - removed
        ledger.append(
            PebbleWeek(
                week,
                sum(member.draws for member in members),
                float(drawn_litres(pebble, rules)),
                relevel,
                added,
                removed,
                ice,
            )
        )
    return tuple(ledger)


def daily_demand(
    steps: Iterable[PlannedStep], days: Iterable[IceDay], rules: PebbleRules, flush: Flush
) -> "DemandTable":
    """What each day asks for [L].

    One column a use, then ``loss`` and ``hose``: together what the tank must give. Last ``raw``:
    what is drawn before the resin. The index runs over every day from one day before the first
    that needs water to the last.
    """
    import pandas as pd

    asked: dict[dt.date, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for step in steps:
        _ask_step(asked, step)
    for day in days:
        asked[day.day]["pebble"] += day.pebble_l
        asked[day.day]["loss"] += float(drawn_litres(day.pebble_l, rules)) - day.pebble_l
        asked[day.day]["flood"] += day.relevel_l
    for uses in asked.values():
        uses["hose"] = flush.hose_l if uses.keys() - {"raw"} else 0.0
    columns: list[str] = [*USES, "loss", "hose", "raw"]
    if not asked:
        return pd.DataFrame(columns=columns, dtype=float)
    index = list(days_between(min(asked) - ONE_DAY, max(asked)))
    table = [[asked.get(day, {}).get(column, 0.0) for column in columns] for day in index]
    return pd.DataFrame(table, index=pd.Index(index, name="day"), columns=columns)


def _ask_step(asked: Mapping[dt.date, dict[str, float]], planned: PlannedStep) -> None:
    water = planned.water
    use: Use = water.use or "flood"
    for moment in planned.passes if water.drawn_l else ():
        today, share = asked[moment.date()], 1 / len(planned.passes)
        if planned.row.draws_from in FROM_TANK:
            today[use] += water.litres_l * share
            today["loss"] += water.loss_l * share
        else:
            today["raw"] += water.drawn_l * share
