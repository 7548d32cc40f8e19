"""Supply: the demand carried through vessels and tank, day by day.

One engine for one season and for thousands: every figure may be an array with one value for each
scenario. A plain season is the case of one.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.season.demand import Flush
from waterkit.treatment.ion_exchange import ResinRun, Vessel, lead_vessel
from waterkit.treatment.train import Deioniser, Process, last_tank
from waterkit.water.limits import USES
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric
    from waterkit.season.demand import DemandTable

    Array = NDArray[np.float64]


DAYS_AHEAD = 7
COMMON_BED_VOLUMES_H = 15.0  # of 8 to 40; common practice, no source
UNLIMITED_L = 1e12
NOTHING_L = 1e-6


@dataclass(frozen=True, slots=True)
class Plant:
    """The plant as the day-by-day engine sees it; each figure may be an array of scenarios.

    Parameters
    ----------
    make_l_d : float or array
        Water that can be made in a day, rinsing apart [L].
    volume_l, heel_l : float or array
        Tank, and what cannot be pumped out of it [L].
    litres_to_change_l : float or array
        Water that a fresh vessel treats until it is changed; infinite without resin [L].
    lead_through_l, lag_through_l : float or array
        Water that went through the vessels now in place, each since it was fresh [L].
    rinse_fresh_l, rinse_stood_l : float or array
        Water drained after a change, and after a day on which nothing was made [L].
    lag : bool
        Whether a second vessel stands behind the lead.
    """

    make_l_d: "Numeric"
    volume_l: "Numeric"
    heel_l: "Numeric"
    litres_to_change_l: "Numeric"
    lead_through_l: "Numeric" = 0.0
    lag_through_l: "Numeric" = 0.0
    rinse_fresh_l: "Numeric" = 0.0
    rinse_stood_l: "Numeric" = 0.0
    lag: bool = False


@dataclass(frozen=True, slots=True)
class SupplyDay:
    """One day of one scenario [L]; ``resin_left`` is what the lead can treat before its change."""

    day: dt.date
    start: float
    made: float
    used: float
    lost: float
    left: float
    short: float
    resin_left: float
    changes: int


@dataclass(frozen=True, slots=True)
class Supply:
    """A season day by day; each array has one row a day and one column a scenario [L].

    ``start + made = used + lost + left`` holds on every day: ``made`` is all that went through
    the resin, ``lost`` what was rinsed, spilt, sprayed beside the ice or drained from hoses.
    """

    days: tuple[dt.date, ...]
    start: "Array"
    made: "Array"
    used: "Array"
    lost: "Array"
    left: "Array"
    short: "Array"
    resin_left: "Array"
    changes: "Array"

    @property
    def litres_di(self) -> "Array":
        """Water made over the season, rinsing included, for each scenario [L]."""
        return np.asarray(self.made.sum(axis=0))

    def first_short(self, scenario: int = 0) -> dt.date | None:
        """The first day whose demand the tank cannot meet."""
        short = np.flatnonzero(self.short[:, scenario] > NOTHING_L)
        return self.days[short[0]] if short.size else None

    def change_days(self, scenario: int = 0) -> tuple[dt.date, ...]:
        """The days on which the lead vessel is changed, a day twice if two are changed on it."""
        counts = self.changes[:, scenario].astype(int)
        return tuple(
            day for day, count in zip(self.days, counts, strict=True) for _ in range(count)
        )

    def rows(self, scenario: int = 0) -> tuple[SupplyDay, ...]:
        """One scenario day by day."""
        columns = [getattr(self, name)[:, scenario].tolist() for name in _COLUMNS[:-1]]
        changes = self.changes[:, scenario].astype(int).tolist()
        return tuple(map(SupplyDay, self.days, *columns, changes))


def plant_of(
    train: Sequence[Process],
    vessels: Sequence[Vessel],
    resin: ResinRun | None,
    flush: Flush,
    work_hours_h: float,
) -> Plant:
    """The plant of a club: what it makes in the working hours of a day [h], its tank, its vessels.

    Parameters
    ----------
    train : sequence of Process
        The train; its last tank is the one drawn from.
    vessels : sequence of Vessel
        The vessels; those in lead and lag count.
    resin : ResinRun or None
        What a fresh vessel gives; None without one: nothing is ever changed.
    flush : Flush
        What is drained.
    work_hours_h : float
        Hours of a day in which water is made [h].
    """
    tank, lead = last_tank(train), lead_vessel(vessels)
    lag = next((vessel for vessel in vessels if vessel.position == "lag"), None)
    resin_l = lead.resin_l if lead else 0.0
    litres = resin.litres_to_change if resin else None
    flow = next((p.flow_l_h for p in train if isinstance(p, Deioniser) and p.flow_l_h), None)
    by_resin = COMMON_BED_VOLUMES_H * resin_l if lead else UNLIMITED_L
    return Plant(
        make_l_d=(flow or by_resin) * work_hours_h,
        volume_l=tank.volume_l,
        heel_l=tank.heel_l,
        litres_to_change_l=litres or UNLIMITED_L,
        lead_through_l=lead.litres_already_through_l if lead else 0.0,
        lag_through_l=lag.litres_already_through_l if lag else 0.0,
        rinse_fresh_l=flush.fresh_bv * resin_l,
        rinse_stood_l=flush.stood_bv * resin_l,
        lag=lag is not None,
    )


def supply_findings(supply: Supply) -> tuple[Note, ...]:
    """The first day short, if there is one."""
    day = supply.first_short()
    if day is None:
        return ()
    litres = float(supply.short[supply.days.index(day), 0])
    return (Note("first-day-short", {"date": day, "litres": litres}),)


def run_season(demand: "DemandTable", plant: Plant) -> Supply:
    """Carry a season's daily demand through the plant.

    Each day the tank is filled for the days to come, and what the demand asks is drawn. Treated
    water goes stale, so it is not made for more than a week ahead (common practice, no source)
    unless later days ask for more than can be made on them. A vessel is changed when it has
    treated its litres.

    Parameters
    ----------
    demand : DataFrame
        From :func:`waterkit.season.demand.daily_demand`: one row a day [L].
    plant : Plant
        The plant; its arrays, if any, all have the same length.
    """
    days = tuple(demand.index)
    on_ice = demand[list(USES)].sum(axis=1).to_numpy()[:, None]
    wasted = demand[["loss", "hose"]].sum(axis=1).to_numpy()[:, None]
    asked = on_ice + wasted
    thresholds = _change_marks(plant)
    shape = np.broadcast(np.atleast_1d(plant.make_l_d), *map(np.atleast_1d, thresholds)).shape
    tank, through, changed, stood = (np.zeros(shape) for _ in range(4))
    stood += 1
    keep = _levels_to_keep(asked, plant)
    rows: dict[str, list[Array]] = {name: [] for name in _COLUMNS}
    for today, need in enumerate(asked):
        start = tank
        made = np.clip(keep[today] + need - start, 0, plant.make_l_d)
        drawn = np.clip(np.minimum(need, start + made - plant.heel_l), 0, None)
        through = through + made
        total_changed = _changes(through, thresholds)
        changes = total_changed - changed
        rinse = changes * plant.rinse_fresh_l + stood * (made > 0) * plant.rinse_stood_l
        through, changed, stood = through + rinse, total_changed, (made <= 0).astype(float)
        tank = start + made - drawn
        served = np.divide(drawn, need, out=np.zeros(shape), where=need > 0)
        lost = served * wasted[today] + rinse
        left_in_resin = _mark(changed, thresholds) - through
        figures = (
            start, made + rinse, served * on_ice[today], lost, tank, need - drawn, left_in_resin,
            changes,
        )  # fmt: skip
        for name, value in zip(_COLUMNS, figures, strict=True):
            rows[name].append(value)
    return Supply(
        days,
        **{name: np.array(values).reshape(len(days), *shape) for name, values in rows.items()},
    )


def _levels_to_keep(asked: "Array", plant: Plant) -> list["Array"]:
    """What the tank should hold at the end of each day [L], heel included, reckoned backwards."""
    room = np.asarray(plant.volume_l) - plant.heel_l
    total = np.vstack([np.zeros_like(asked[:1]), asked.cumsum(axis=0)])
    last = len(asked)
    must: Array = np.zeros_like(room)
    levels = []
    for day in range(last - 1, -1, -1):
        week = total[min(day + 1 + DAYS_AHEAD, last)] - total[day + 1]
        levels.append(np.minimum(np.maximum(must, week), room) + plant.heel_l)
        must = np.clip(must + asked[day] - plant.make_l_d, 0.0, room)
    return levels[::-1]


_COLUMNS = ("start", "made", "used", "lost", "left", "short", "resin_left", "changes")


def _change_marks(plant: Plant) -> tuple["Numeric", "Numeric", "Numeric"]:
    """Litres through the lead at the first and the second change, and between all later ones."""
    full = plant.litres_to_change_l
    first = np.maximum(full - plant.lead_through_l, 0.0)
    second = first + (np.maximum(full - plant.lag_through_l, 0.0) if plant.lag else full)
    return (first, second, full)


def _changes(through: "Array", marks: tuple["Numeric", "Numeric", "Numeric"]) -> "Array":
    """How many vessels have been changed after so many litres."""
    first, second, full = marks
    later = np.floor(np.maximum(through - second, 0.0) / full)
    return np.asarray((through >= first) + np.where(through >= second, 1.0 + later, 0.0))


def _mark(changed: "Array", marks: tuple["Numeric", "Numeric", "Numeric"]) -> "Array":
    """Litres through the lead at which the next vessel will be changed."""
    first, second, full = marks
    later = second + np.maximum(changed - 1.0, 0.0) * full
    return np.asarray(np.where(changed < 1, first, later))
