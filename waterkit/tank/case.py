"""What the volunteer tells, what else is known, and everything that a rule compares with it.

Conductivities are whole numbers of the baked table: ``*_25`` closed and warmed to 25 degC,
``*_shown`` as the meter shows them, all others as the water is.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from waterkit.tank.baked import LEAST_SLOPE, TENTHS, Baked, MeterRow
from waterkit.water.limits import Use

Point = Literal["DI outlet", "tank", "hose end"]
Unit = Literal["uS/cm", "ppm"]
Seen = Literal["smell", "film", "colour", "cloudy", "flakes", "unsteady", "rinsing"]
StandardState = Literal[
    "", "standard-off", "not-corrected", "corrected-twice", "standard-expired", "standard-overdue",
    "meter-drifts", "never-checked",
]  # fmt: skip
Values = Mapping[str, int | str | tuple[str, ...]]

POINTS: tuple[Point, ...] = ("DI outlet", "tank", "hose end")
REFUSED: tuple[Seen, ...] = ("smell", "film", "colour", "cloudy", "flakes")
"""What a meter does not see."""
SEEN: tuple[Seen, ...] = (*REFUSED, "unsteady", "rinsing")
FAULTS: tuple[StandardState, ...] = (
    "standard-off", "not-corrected", "corrected-twice", "standard-expired", "standard-overdue",
)  # fmt: skip
"""What takes the belief from a meter, the worst first."""
DOUBTS: tuple[StandardState, ...] = ("meter-drifts", "never-checked")
"""What is told of a meter that is still believed."""
MORE = (6, 5)
"""What is more than another figure by more than two readings may differ: common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Said:
    """What the volunteer tells.

    ``shown`` is what the meter shows, in ``unit``; ``tenths`` the temperature of the water in
    tenths of a degree; ``litres`` what the job takes, 0 where nobody said.
    """

    point: Point
    use: Use
    meter: str
    shown: int
    unit: Unit
    tenths: int
    litres: int = 0
    seen: tuple[Seen, ...] = ()


@dataclass(frozen=True, slots=True)
class Known:
    """What is known beside the reading; None where it is not.

    Parameters
    ----------
    feed_25, outlet_25 : int or None
        The supply, and what the resin's outlet showed lately.
    earlier_25 : int or None
        What the same meter showed at the same point lately, with no vessel changed since.
    frozen_shown : int or None
        What the meter has shown again and again, whatever it was held into.
    standard : str
        What is wrong with the meter's check, empty if nothing is known to be.
    rinse_l : int
        Litres that a fresh vessel still has to be rinsed with.
    rinse_known : bool
        Whether the water meter tells that; else it is all of them, for the first days.
    litres_left : int or None
        Litres that the resin still treats before it is changed.
    tank_l : int or None
        Litres that can be pumped out of the full tank.
    reserve_percent : int
        Share of a flood that must be there on top of it.
    change_25 : int or None
        Mark at which the vessel behind this outlet is changed.
    expected_25 : int or None
        The most that is to be expected at the outlet after so many litres.
    log_unread : bool
        Whether the log holds an error, so that what it tells is not known.
    feed_odd_25 : int or None
        What was read of the supply lately where its sample tells something quite different.
    """

    feed_25: int | None = None
    outlet_25: int | None = None
    earlier_25: int | None = None
    frozen_shown: int | None = None
    standard: StandardState = ""
    rinse_l: int = 0
    rinse_known: bool = False
    litres_left: int | None = None
    tank_l: int | None = None
    reserve_percent: int = 0
    change_25: int | None = None
    expected_25: int | None = None
    log_unread: bool = False
    feed_odd_25: int | None = None


class Case:
    """A reading beside everything that it is compared with, at the temperature of the water."""

    def __init__(self, table: Baked, said: Said, known: Known) -> None:
        self.table, self.said, self.known = table, said, known
        self.meter: MeterRow = table.meters.get(said.meter, table.meters[""])
        self.use: Use = table.into_tank if said.point == "DI outlet" else said.use
        self.good_25, self.act_25 = table.limits[self.use]
        self.good, self.act = (self.at(limit) for limit in table.limits[self.use])
        self.actual = table.actual(self.meter, said.shown, said.unit, said.tenths)
        self.pure = table.at(table.pure, said.tenths)
        self.air = table.at(table.air_in_use, said.tenths)
        self.air_empty = table.at(table.air_empty, said.tenths)
        self.open = table.open_ and said.point != "DI outlet"
        self.adds = self.air - self.pure

    def at(self, at_25: int) -> int:
        """Some water told at 25 degC, at the temperature of this one."""
        return self.table.from_25(at_25, self.said.tenths)

    def shown(self, actual: int) -> int:
        """What the meter would show for it."""
        return self.table.shown(self.meter, actual, self.said.tenths)

    @cached_property
    def over_act(self) -> bool:
        """Whether more is in it than the use allows, and more than air brings into any water."""
        return self.actual > max(self.act, self.air if self.open else 0)

    @cached_property
    def maybe_air(self) -> bool:
        """Whether it is over good by no more than air may have brought into it."""
        over = self.actual > self.good and not self.over_act
        return over and self.open and self.actual <= self.good + self.adds

    @cached_property
    def explained(self) -> bool:
        """Whether the outlet proves it: what left the resin was good, and air makes it this."""
        outlet, known_25 = self.outlet, self.known.outlet_25
        if outlet is None or known_25 is None or not self.maybe_air:
            return False
        return known_25 <= self.good_25 and not is_over(self.actual, outlet + self.adds, MORE)

    @property
    def feed(self) -> int | None:
        """The supply at this temperature, where it is worse than good."""
        feed = self.known.feed_25
        return None if feed is None or feed <= self.good_25 else self.at(feed)

    @property
    def outlet(self) -> int | None:
        """What the outlet showed, at this temperature, to compare other points with."""
        outlet = self.known.outlet_25
        return None if outlet is None or not self.open else self.at(outlet)

    @property
    def to_make(self) -> int:
        """Litres that the resin has to treat for the job."""
        if self.said.point == "DI outlet" or self.known.tank_l is None:
            return self.said.litres if self.said.point == "DI outlet" else 0
        return max(self.in_tank - self.known.tank_l, 0)

    @property
    def in_tank(self) -> int:
        """Litres that the job wants in the tank, the reserve of a flood on top."""
        percent = self.known.reserve_percent if self.use == "flood" else 0
        return -(-self.said.litres * (100 + percent) // 100)


def is_over(number: int, other: int, times: tuple[int, int]) -> bool:
    """Whether a number is more than another one times a fraction."""
    return number * times[1] > other * times[0]


def compensates(case: Case) -> bool:
    """Whether what the meter shows can be turned into what is there."""
    meter, tenths = case.meter, case.said.tenths
    return case.table.at(meter.slope, tenths) >= LEAST_SLOPE and tenths <= meter.warmest * TENTHS
