"""Supply: the demand carried through vessels and tank, day by day.

One engine for one season and for thousands: every figure may be an array with one value for each
scenario. A plain season is the case of one.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.errors import FieldError
from waterkit.season.demand import Flush
from waterkit.treatment.ion_exchange import Vessel, lead_vessel
from waterkit.treatment.train import Deioniser, Handed, Process, last_tank
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
ALL_OF_IT = Handed()


@dataclass(frozen=True, slots=True)
class Plant:
    """The plant as the day-by-day engine sees it; each figure may be an array of scenarios.

    Parameters
    ----------
    make_l_d : float or array
        Water that can be made in a day, rinsing apart [L].
    volume_l, heel_l : float or array
        Tank, and what cannot be pumped out of it [L].
    life_l : float or array
        Water that a fresh vessel treats until it is changed: one figure, one for each day of the
        season, since the supply's water may change, or rows of days and columns of scenarios [L].
    lead_spent, lag_spent : float or array
        Share of a vessel's life that those now in place have spent [1].
    rinse_fresh_l, rinse_stood_l, rinse_first_l : float or array
        Water drained after a change, after a day on which nothing was made, and on the first day
        of making, for vessels that were put in fresh before it [L].
    feed_per_l : float or array
        Water of the supply that one litre made takes: one figure, or one for each day [1].
    lag : bool
        Whether a second vessel stands behind the lead.
    """

    make_l_d: "Numeric"
    volume_l: "Numeric"
    heel_l: "Numeric"
    life_l: "Numeric"
    lead_spent: "Numeric" = 0.0
    lag_spent: "Numeric" = 0.0
    rinse_fresh_l: "Numeric" = 0.0
    rinse_stood_l: "Numeric" = 0.0
    rinse_first_l: "Numeric" = 0.0
    feed_per_l: "Numeric" = 1.0
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
    feed: float
    changes: int


@dataclass(frozen=True, slots=True)
class Supply:
    """A season day by day; each array has one row a day and one column a scenario [L].

    ``start + made = used + lost + left`` holds on every day: ``made`` is all that went through
    the resin, ``lost`` what was rinsed, spilt, sprayed beside the ice or drained from hoses.
    ``feed`` is what the supply gave, for the resin and for what is drawn before it.
    """

    days: tuple[dt.date, ...]
    start: "Array"
    made: "Array"
    used: "Array"
    lost: "Array"
    left: "Array"
    short: "Array"
    resin_left: "Array"
    feed: "Array"
    changes: "Array"

    @property
    def litres_di(self) -> "Array":
        """Water made over the season, rinsing included, for each scenario [L]."""
        return np.asarray(self.made.sum(axis=0))

    @property
    def litres_feed(self) -> "Array":
        """Water taken from the supply over the season, for each scenario [L]."""
        return np.asarray(self.feed.sum(axis=0))

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
    life_l: "Array",
    flush: Flush,
    work_hours_h: float,
    handed: Handed = ALL_OF_IT,
) -> Plant:
    """The plant of a club: what it makes in the working hours of a day, its tank, its vessels.

    Parameters
    ----------
    train : sequence of Process
        The train; its last tank is the one drawn from.
    vessels : sequence of Vessel
        The vessels; those in lead and lag count.
    life_l : array
        Water that a fresh vessel treats until it is changed, for each day [L].
    flush : Flush
        What is drained.
    work_hours_h : float
        Hours of a day in which water is made [h].
    handed : Handed
        What the train takes for what it hands on, for each day, and the most it makes; the least of
        the season counts.

    Raises
    ------
    FieldError
        If rinsing a fresh vessel takes all that it can treat.
    """
    tank, lead = last_tank(train), lead_vessel(vessels)
    lag = next((vessel for vessel in vessels if vessel.position == "lag"), None)
    resin_l = lead.resin_l if lead else 0.0
    rinse_l = flush.fresh_bv * resin_l
    if lead and life_l.size and rinse_l + flush.stood_bv * resin_l >= life_l.min():
        raise FieldError(
            f"{lead.vessel}: a fresh vessel treats {life_l.min():.0f} L of this water until it is"
            f" changed, and rinsing it in takes {rinse_l:.0f} L",
            "check resin and rating, the change marks, and [flush] in club.toml",
            "resin",
        )
    fresh = sum(1 for vessel in (lead, lag) if vessel and vessel.fresh_on is None)
    flow = next((p.flow_l_h for p in train if isinstance(p, Deioniser) and p.flow_l_h), None)
    by_resin = COMMON_BED_VOLUMES_H * resin_l if lead else UNLIMITED_L
    most_l_h = float(np.min(handed.most_l_h))
    first_life = float(life_l.flat[0]) if life_l.size else UNLIMITED_L
    return Plant(
        make_l_d=min(by_resin if flow is None else flow, most_l_h) * work_hours_h,
        volume_l=tank.volume_l,
        heel_l=tank.heel_l,
        life_l=life_l,
        lead_spent=lead.litres_already_through_l / first_life if lead else 0.0,
        lag_spent=lag.litres_already_through_l / first_life if lag else 0.0,
        rinse_fresh_l=rinse_l,
        rinse_stood_l=flush.stood_bv * resin_l,
        rinse_first_l=fresh * rinse_l,
        feed_per_l=handed.feed_per_l,
        lag=lag is not None,
    )


def supply_findings(supply: Supply, plant: Plant) -> tuple[Note, ...]:
    """The first day short and why, if there is one."""
    day = supply.first_short()
    if day is None:
        return ()
    row = supply.days.index(day)
    litres = float(supply.short[row, 0])
    asked = float(supply.made[row, 0] + supply.start[row, 0]) + litres
    full = float(np.max(plant.volume_l)) + float(np.max(plant.make_l_d))
    values = {"date": day, "litres": litres}
    if asked > full:
        return (Note("first-day-short-of-tank", values),)
    return (Note("first-day-short", values),)


def run_season(demand: "DemandTable", plant: Plant) -> Supply:
    """Carry a season's daily demand through the plant.

    Each day the tank is filled for the days to come, and what the demand asks is drawn. Treated
    water goes stale, so it is not made for more than a week ahead (common practice, no source)
    unless later days ask for more than can be made on them. A vessel is changed when it has
    treated its litres; those of a day's water count as a share of what a vessel treats of it.

    Parameters
    ----------
    demand : DataFrame
        From :func:`waterkit.season.demand.daily_demand`: one row a day [L].
    plant : Plant
        The plant; its arrays, if any, all have the same number of scenarios.
    """
    days = tuple(demand.index)
    on_ice, wasted, raw = (
        demand[columns].sum(axis=1).to_numpy()[:, None]
        for columns in ([*USES], ["loss", "hose"], ["raw"])
    )
    asked = on_ice + wasted
    life = np.broadcast_to(_column(plant.life_l), (len(days), _scenarios(plant)))
    shape = life.shape[1:]
    feed_per_l = np.broadcast_to(_column(plant.feed_per_l), life.shape)
    keep = _levels_to_keep(asked, plant)
    rows: dict[str, list[Array]] = {name: [] for name in _COLUMNS}
    tank, spent, changed, made_before = (np.zeros(shape) for _ in range(4))
    stood = np.ones(shape)
    for today, need in enumerate(asked):
        start = tank
        made = np.clip(keep[today] + need - start, 0, plant.make_l_d)
        drawn = np.clip(np.minimum(need, start + made - plant.heel_l), 0, None)
        first = (made > 0) & (made_before <= 0)
        rinse = first * plant.rinse_first_l + stood * (made > 0) * plant.rinse_stood_l
        spent = spent + (made + rinse) / life[today]
        changes = _changes(spent, plant) - changed
        rinse = rinse + changes * plant.rinse_fresh_l
        spent = spent + changes * plant.rinse_fresh_l / life[today]
        changed, stood = changed + changes, (made <= 0).astype(float)
        made_before = made_before + made
        tank = start + made - drawn
        served = np.divide(drawn, need, out=np.zeros(shape), where=need > 0)
        lost = served * wasted[today] + rinse
        left_in_resin = np.maximum(_mark(changed, plant) - spent, 0.0) * life[today]
        feed = (made + rinse) * feed_per_l[today] + raw[today]
        figures = (
            start, made + rinse, served * on_ice[today], lost, tank, need - drawn, left_in_resin,
            feed, changes,
        )  # fmt: skip
        for name, value in zip(_COLUMNS, figures, strict=True):
            rows[name].append(np.broadcast_to(value, shape))
    return Supply(
        days,
        **{name: np.array(values).reshape(len(days), *shape) for name, values in rows.items()},
    )


_COLUMNS = ("start", "made", "used", "lost", "left", "short", "resin_left", "feed", "changes")


def _column(figure: "Numeric") -> "Array":
    """A figure for each day as a column beside the scenarios."""
    daily = np.asarray(figure, dtype=float)
    return daily[:, None] if daily.ndim == 1 else daily


def _scenarios(plant: Plant) -> int:
    figures = (plant.make_l_d, plant.volume_l, plant.lead_spent, plant.rinse_fresh_l)
    life = _column(plant.life_l)
    return max(*(np.size(figure) for figure in figures), life.shape[1] if life.ndim else 1)


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


def _changes(spent: "Array", plant: Plant) -> "Array":
    """How many vessels have been changed when so many lives of a vessel are spent."""
    first, second = _marks(plant)
    later = np.floor(np.maximum(spent - second, 0.0))
    return np.asarray((spent >= first) + np.where(spent >= second, 1.0 + later, 0.0))


def _mark(changed: "Array", plant: Plant) -> "Array":
    """Lives of a vessel after which the next one will be changed."""
    first, second = _marks(plant)
    return np.asarray(np.where(changed < 1, first, second + np.maximum(changed - 1.0, 0.0)))


def _marks(plant: Plant) -> tuple["Numeric", "Numeric"]:
    """Lives spent at the first and the second change; every later one comes a life after."""
    first = np.maximum(1.0 - np.asarray(plant.lead_spent), 0.0)
    return first, first + np.maximum(1.0 - np.asarray(plant.lag_spent if plant.lag else 0.0), 0.0)
