"""Needs: what gets used up, and when, from the drivers of the season."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.dates import ONE_DAY, days_between, iso_week
from waterkit.ice.markings import edge_m
from waterkit.ice.sheet import Rink
from waterkit.purchasing.records import Budget, Driver, Item
from waterkit.season.build import PlannedStep, SeasonDates
from waterkit.season.demand import IceDay, Play
from waterkit.season.supply import Supply
from waterkit.treatment.ion_exchange import Vessel
from waterkit.treatment.train import Handed
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

Amounts = Mapping[dt.date, float]
DAYS_OF_A_SEASON_YEAR = 365.2425


@dataclass(frozen=True, slots=True)
class Need:
    """What one item comes to: dated amounts in the item's unit, contingency apart.

    ``whole_by`` is the day by which all of it must be there, where the item says so.
    """

    item: Item
    amounts: Amounts
    contingency_percent: float
    whole_by: dt.date | None = None
    notes: tuple[Note, ...] = ()

    @property
    def needed(self) -> float:
        """The sum of all amounts, without contingency."""
        return sum(self.amounts.values())

    @property
    def contingency(self) -> float:
        """What is added for safety."""
        return self.needed * self.contingency_percent / 100

    def runs_out(self, at_hand: float) -> dt.date | None:
        """The day on which what is at hand no longer covers the need; None if it always does."""
        days = sorted(self.amounts)
        if not days or self.needed + self.contingency <= at_hand + 1e-9:
            return None
        total = 0.0
        for day in days:
            total += self.amounts[day] * (1 + self.contingency_percent / 100)
            if total > at_hand + 1e-9:
                return self.whole_by or day
        return self.whole_by or days[-1]


@dataclass(frozen=True, slots=True)
class SeasonFacts:
    """What the drivers are read from: the season as planned so far."""

    rink: Rink
    season: SeasonDates
    crew: int
    steps: tuple[PlannedStep, ...]
    plays: tuple[Play, ...]
    ice_days: tuple[IceDay, ...]
    supply: Supply
    vessels: tuple[Vessel, ...]
    powder_kg: float
    handed: Handed = Handed()

    @property
    def begin(self) -> dt.date:
        """The first day of the build, or of play where nothing is built."""
        starts = [step.start.date() for step in self.steps if step.start is not None]
        return min([*starts, self.season.first_draw])

    def day_of(self, *kinds: str) -> dt.date:
        """The day on which the first step of one of these kinds starts, else the build's first."""
        starts = [
            step.start.date()
            for step in self.steps
            if step.start is not None and step.row.kind in kinds
        ]
        return min(starts, default=self.begin)

    def day_of_step(self, name: str) -> dt.date | None:
        """The day on which a step of the layer plan starts, found by its name."""
        for step in self.steps:
            if step.row.step == name and step.start is not None:
                return step.start.date()
        return None


def driver_amounts(facts: SeasonFacts) -> dict[Driver, Amounts]:
    """How much of each driver the season holds, by day.

    Drivers that no process of this plant feeds (reject water without a membrane, salt without a
    softener) come to nothing.
    """
    rink, begin = facts.rink, facts.begin
    fills = _fills(facts)
    weeks = _weeks(begin, facts.season.last_draw)
    return {
        "season": {begin: 1.0},
        "sheet": {begin: float(rink.sheets)},
        "m2 of white": {facts.day_of("white"): _white_m2(facts)},
        "m of edge": {facts.day_of("edges"): float(edge_m(rink))},
        "house": {facts.day_of("houses"): 2.0 * rink.sheets},
        "paint day and person": {day: float(facts.crew) for day in _paint_days(facts)},
        "draw": _add((play.day, float(play.draws)) for play in facts.plays),
        "sheet and draw": _add((play.day, play.draws * play.sheets) for play in facts.plays),
        "bonspiel": dict.fromkeys(bonspiels(facts.plays), 1.0),
        "week": dict.fromkeys(weeks, 1.0),
        "month of rent": _rent_months(begin, facts.season.last_draw, facts.vessels),
        "vessel fill": fills,
        "delivery": dict.fromkeys(fills, 1.0),
        "m3 feed": _cubic_metres(facts.supply.days, facts.supply.feed),
        "m3 DI": _cubic_metres(facts.supply.days, facts.supply.made),
        "m3 reject": _by_made(facts.supply, np.asarray(facts.handed.feed_per_l) - 1.0),
        "kg salt": _by_made(facts.supply, np.asarray(facts.handed.salt_kg_m3)),
        "kg powder": {facts.day_of("white"): facts.powder_kg},
        "sheet scrape": _add((day.day, day.scrapes * rink.sheets) for day in facts.ice_days),
        "meter check": dict.fromkeys(weeks, 1.0),
    }


def _fills(facts: SeasonFacts) -> Amounts:
    """Vessels to fill: those in place that are not fresh yet, then one a change, spares first."""
    to_fill = [v for v in facts.vessels if v.position != "spare" and v.fresh_on is None]
    ready = [v for v in facts.vessels if v.position == "spare" and v.fresh_on is not None]
    changes = facts.supply.change_days()
    return _add((day, 1.0) for day in [facts.begin] * len(to_fill) + list(changes[len(ready) :]))


def _white_m2(facts: SeasonFacts) -> float:
    return sum(s.water.area_m2 for s in facts.steps if s.row.kind == "white" and not s.done)


def _add(pairs: Iterable[tuple[dt.date, float]]) -> Amounts:
    total: dict[dt.date, float] = defaultdict(float)
    for day, amount in pairs:
        total[day] += amount
    return dict(total)


def _weeks(first: dt.date, last: dt.date) -> list[dt.date]:
    seen: dict[str, dt.date] = {}
    for day in days_between(first, last):
        seen.setdefault(iso_week(day), day)
    return list(seen.values())


def _paint_days(facts: SeasonFacts) -> set[dt.date]:
    return {
        moment.date()
        for step in facts.steps
        if step.row.kind in ("white", "houses", "lines")
        for moment in step.passes
    }


def bonspiels(plays: Sequence[Play]) -> list[dt.date]:
    """The first day of each bonspiel: days of bonspiel draws in a row are one."""
    days = sorted({play.day for play in plays if play.kind == "bonspiel"})
    return [day for day in days if day - ONE_DAY not in days]


def _rent_months(first: dt.date, last: dt.date, vessels: Sequence[Vessel]) -> Amounts:
    rented = sum(1 for vessel in vessels if vessel.rent)
    months: dict[tuple[int, int], dt.date] = {}
    for day in days_between(first, last):
        months.setdefault((day.year, day.month), day)
    return {day: float(rented) for day in months.values() if rented}


def _cubic_metres(days: Sequence[dt.date], litres: "NDArray[np.float64]") -> Amounts:
    volumes = litres[:, 0] / 1000
    return {day: float(m3) for day, m3 in zip(days, volumes, strict=True) if m3 > 0}


def _by_made(supply: Supply, per_m3: "NDArray[np.float64]") -> Amounts:
    """What goes with each cubic metre made, by day."""
    amounts = supply.made[:, 0] / 1000 * per_m3
    return {day: float(a) for day, a in zip(supply.days, amounts, strict=True) if a > 0}


def season_needs(
    items: Sequence[Item], facts: SeasonFacts, budget: Budget, as_of: dt.date
) -> tuple[Need, ...]:
    """What every item comes to from the day ``as_of`` on; what lies before is the past."""
    drivers = driver_amounts(facts)
    return tuple(
        _need(item, _driver_of(item, drivers, facts), facts, budget, as_of) for item in items
    )


def _driver_of(item: Item, drivers: dict[Driver, Amounts], facts: SeasonFacts) -> Amounts:
    """What asks for an item; a rent is asked for by the vessels that name it."""
    if item.driver != "month of rent":
        return drivers[item.driver]
    vessels = [vessel for vessel in facts.vessels if vessel.rent == item.item]
    return _rent_months(facts.begin, facts.season.last_draw, vessels)


def _need(item: Item, driver: Amounts, facts: SeasonFacts, budget: Budget, as_of: dt.date) -> Need:
    notes, worn_out = _lasting(item, facts.season)
    amounts = {
        day: amount * item.rate
        for day, amount in driver.items()
        if day >= as_of and amount * item.rate > 0 and worn_out
    }
    own = item.contingency_percent
    contingency = budget.contingency_percent if own is None else own
    return Need(item, amounts, contingency, _whole_by(item, facts), notes)


def _whole_by(item: Item, facts: SeasonFacts) -> dt.date | None:
    if isinstance(item.need_before, str):
        return facts.day_of_step(item.need_before)
    return item.need_before


def _lasting(item: Item, season: SeasonDates) -> tuple[tuple[Note, ...], bool]:
    """Whether an item that lasts several seasons runs out in this one, with what to say of it."""
    if item.life_seasons is None or item.life_seasons <= 1:
        return (), True
    if item.installed_on is None:
        return (Note("life-without-a-date", {"item": item.item}),), True
    seasons = (season.last_draw - item.installed_on).days / DAYS_OF_A_SEASON_YEAR
    if seasons >= item.life_seasons:
        return (Note("runs-out-this-season", {"item": item.item}),), True
    return (Note("lasts-beyond-this-season", {"item": item.item}),), False
