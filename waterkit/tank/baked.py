"""The baked table: all that a verdict needs of the physics, in whole numbers.

The command and a phone judge by the same table with the same arithmetic, so that they agree to the
last digit: conductivities are counted in ten-thousandths of 1 uS/cm, factors in millionths,
temperatures in tenths of a degree. Between two whole degrees a straight line holds, rounded down.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from waterkit.errors import FieldError
from waterkit.water.carbonate import open_to_air
from waterkit.water.conductivity import pure_water, salt_factor
from waterkit.water.limits import Limit, Use, strictest
from waterkit.water.meter import Meter, actual_us_cm

SCALE = 10_000
"""Whole numbers to 1 uS/cm, and to 1 ppm on a meter that shows ppm."""
MILLION = 1_000_000
TENTHS = 10
COLDEST_C, WARMEST_C = 0, 60
MOST = 10_000 * SCALE
"""Higher readings count as this one, so that no product leaves the whole numbers of a phone."""
EMPTY_HALL_PPM = 420.0
NATURAL_WATER_C = 35
"""Up to here the table of natural water goes."""
LEAST_SLOPE = 50_000
"""Below this, a compensation says nothing of the water."""


@dataclass(frozen=True, slots=True)
class MeterRow:
    """One meter: ``offset`` and ``slope`` by whole degree turn what it shows into what is there.

    They hold up to ``warmest`` degrees. ``factor`` is its ppm for 1 uS/cm in millionths, 0 for a
    meter that shows uS/cm; ``resolution`` is in the unit that it shows. A meter of which nobody
    knows how it compensates has ``known`` false; it is then read in the way that finds the least in
    the water.
    """

    name: str
    slope: tuple[int, ...]
    offset: tuple[int, ...]
    factor: int = 0
    resolution: int = 0
    warmest: int = WARMEST_C
    known: bool = True

    @property
    def unit(self) -> str:
        """What stands behind the number on its display."""
        return "ppm" if self.factor else "uS/cm"


@dataclass(frozen=True, slots=True)
class Baked:
    """The table. Rows begin at 0 degC and hold one number for each whole degree up to 60.

    ``pure`` is pure water, ``air_empty`` and ``air_in_use`` pure water open to the air of an empty
    hall and of one in use, each as it is; ``salt`` is the conductivity of a salt in millionths of
    the one at 25 degC; ``limits`` are good and act at 25 degC. ``into_tank`` is the strictest use
    that the tank will serve; ``open_`` tells whether air reaches the tank.
    """

    pure: tuple[int, ...]
    salt: tuple[int, ...]
    air_empty: tuple[int, ...]
    air_in_use: tuple[int, ...]
    limits: Mapping[Use, tuple[int, int]]
    meters: Mapping[str, MeterRow]
    into_tank: Use
    open_: bool = True

    @property
    def pure_25(self) -> int:
        """Pure water at 25 degC."""
        return self.pure[25]

    def at(self, row: Sequence[int], tenths: int) -> int:
        """A row at a temperature in tenths of a degree; beyond its ends the ends hold."""
        tenths = min(max(tenths, COLDEST_C * TENTHS), WARMEST_C * TENTHS)
        degree, part = divmod(tenths, TENTHS)
        upper = row[min(degree + 1, WARMEST_C)]
        return (row[degree] * (TENTHS - part) + upper * part) // TENTHS

    def from_25(self, at_25: int, tenths: int) -> int:
        """What water conducts as it is, from the same water at 25 degC, rounded down."""
        salt = (at_25 - self.pure_25) * self.at(self.salt, tenths) // MILLION
        return max(self.at(self.pure, tenths) + salt, 0)

    def to_25(self, actual: int, tenths: int) -> int:
        """What water would conduct at 25 degC, kept closed and warmed, rounded down."""
        salt = (actual - self.at(self.pure, tenths)) * MILLION // self.at(self.salt, tenths)
        return max(self.pure_25 + salt, 0)

    def actual(self, meter: MeterRow, shown: int, unit: str, tenths: int) -> int:
        """What the water conducts as it is, from what a meter shows, rounded half up."""
        if unit == "ppm" and meter.factor:
            shown = (min(shown, MOST) * MILLION + meter.factor // 2) // meter.factor
        turned = min(shown, MOST) * self.at(meter.slope, tenths) + MILLION // 2
        return max(self.at(meter.offset, tenths) + turned // MILLION, 0)

    def shown(self, meter: MeterRow, actual: int, tenths: int) -> int:
        """What a meter shows in its own unit for water that conducts so much, rounded down."""
        slope = max(self.at(meter.slope, tenths), LEAST_SLOPE)
        shown = (actual - self.at(meter.offset, tenths)) * MILLION // slope
        return max(shown * meter.factor // MILLION if meter.factor else shown, 0)

    @property
    def row(self) -> dict[str, Any]:
        """The table as it is written into a page."""
        return {
            "scale": SCALE, "million": MILLION, "most": MOST, "leastSlope": LEAST_SLOPE,
            "coldest": COLDEST_C, "warmest": WARMEST_C,
            "pure": list(self.pure), "salt": list(self.salt),
            "airEmpty": list(self.air_empty), "airInUse": list(self.air_in_use),
            "limits": {use: list(pair) for use, pair in self.limits.items()},
            "meters": {
                name: {
                    "slope": list(one.slope), "offset": list(one.offset), "unit": one.unit,
                    "factor": one.factor, "resolution": one.resolution, "warmest": one.warmest,
                    "known": one.known,
                }
                for name, one in self.meters.items()
            },
            "intoTank": self.into_tank, "open": self.open_,
        }  # fmt: skip


def bake(
    limits: Mapping[Use, Limit],
    meters: Iterable[Meter],
    air_co2_ppm: float,
    uses: Iterable[Use] = (),
    open_: bool = True,
) -> Baked:
    """The table for a club's limits, meters and hall.

    Under the empty name stands a meter of which nobody knows how it compensates.

    Parameters
    ----------
    limits : mapping of use to Limit
        Good and act at 25 degC [uS/cm].
    meters : iterable of Meter
        The club's meters.
    air_co2_ppm : float
        Carbon dioxide in the air of the hall while it is in use [ppm].
    uses : iterable of Use
        Uses that the tank will serve; all of them if none is named.
    open_ : bool
        Whether air reaches the water in the tank.

    Raises
    ------
    FieldError
        If a meter corrects to a temperature that its table does not hold.
    """
    degrees = np.arange(COLDEST_C, WARMEST_C + 1, dtype=float)
    rows = [MeterRow("", _whole(_least_slope(degrees) * MILLION), (0,) * len(degrees), known=False)]
    rows += [_meter_row(meter, degrees) for meter in meters]
    empty, in_use = (
        _scaled(open_to_air(degrees, ppm).conductivity_us_cm)
        for ppm in (EMPTY_HALL_PPM, air_co2_ppm)
    )
    return Baked(
        pure=_scaled(pure_water(degrees)),
        salt=_whole(MILLION / np.asarray(salt_factor(degrees))),
        air_empty=empty,
        air_in_use=in_use,
        limits={
            use: (whole_limit(one.good_us_cm), whole_limit(one.act_us_cm))
            for use, one in limits.items()
        },
        meters={row.name: row for row in rows},
        into_tank=strictest({use: limits[use] for use in tuple(uses) or limits}),
        open_=open_,
    )


def whole(value_us_cm: float) -> int:
    """A conductivity in whole numbers, rounded half up.

    Parameters
    ----------
    value_us_cm : float
        What a meter shows, in uS/cm; ppm on a meter that shows them [uS/cm].
    """
    return math.floor(value_us_cm * SCALE + 0.5)


def whole_limit(limit_us_cm: float) -> int:
    """A limit in whole numbers, rounded down, but not for what a binary fraction lacks.

    Parameters
    ----------
    limit_us_cm : float
        A limit [uS/cm].
    """
    return math.floor(limit_us_cm * SCALE + 1e-6)


def tenths_of(temperature_c: float) -> int:
    """A temperature in tenths of a degree, rounded half up.

    Parameters
    ----------
    temperature_c : float
        Temperature of the water [degC].
    """
    return math.floor(temperature_c * TENTHS + 0.5)


def _least_slope(degrees: Any) -> Any:
    """The least that a number on a display can mean: not corrected, or by 2 % a degree."""
    return np.minimum(1.0, 1.0 + 0.02 * (degrees - 25.0))


def _meter_row(meter: Meter, degrees: Any) -> MeterRow:
    """What a meter shows is a straight line of what is there, so two points tell it."""
    natural = meter.compensation == "natural water"
    inside = np.minimum(degrees, NATURAL_WATER_C) if natural else degrees
    none, one = (np.asarray(actual_us_cm(shown, inside, meter)) for shown in (0.0, 1.0))
    if not np.all(np.isfinite(none + one)):
        message = f"meter {meter.name!r} corrects to {meter.reference_c:g} degC"
        raise FieldError(message, "write a reference of 0 to 35 degC", "meter.reference")
    shape = (len(degrees),)
    return MeterRow(
        meter.name,
        _whole(np.broadcast_to((one - none) * MILLION, shape)),
        _scaled(np.broadcast_to(none, shape)),
        round((meter.factor or 0.0) * MILLION),
        whole(meter.resolution_us_cm * (meter.factor or 1.0)),
        NATURAL_WATER_C if natural else WARMEST_C,
    )


def _scaled(values: Any) -> tuple[int, ...]:
    return _whole(np.asarray(values) * SCALE)


def _whole(values: Any) -> tuple[int, ...]:
    return tuple(int(value) for value in np.floor(np.asarray(values) + 0.5))
