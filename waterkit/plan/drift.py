"""Meters that drift: what the log of the last months tells of each against standard and others."""

import datetime as dt
from collections.abc import Iterator
from itertools import combinations
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.behind import at_25_us_cm
from waterkit.plan.metered import utc
from waterkit.tank.beliefs import standard_until
from waterkit.water.drift import (
    APART_PERCENT,
    OFF_STANDARD_PERCENT,
    Off,
    apart,
    off_standard,
    read_together,
)
from waterkit.water.meter import Meter
from waterkit.water.readings import Readings
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Rows = NDArray[np.int64]

MONTHS_BACK = dt.timedelta(days=92)
"""Readings from before tell of the meter as it was: common practice, no source."""
TOGETHER_S = 15 * 60.0
"""Readings at one point are of the same water within a quarter of an hour: the same."""


def meter_findings(club: Club, as_of: dt.date) -> tuple[Note, ...]:
    """Standards past their day, meters that are off their standard, meters that disagree."""
    if club.lacks("meters"):
        return ()
    found = list(_old_standards(club, as_of))
    readings = None if club.lacks("readings") else club.readings
    if readings is not None and len(readings):
        recent = _recent(readings, club.timezone, as_of)
        rows = {meter.name: recent[readings.meter[recent] == meter.name] for meter in club.meters}
        found += _off_standard(club, readings, rows)
        found += _apart(club, readings, rows)
    return tuple(found)


def _old_standards(club: Club, as_of: dt.date) -> Iterator[Note]:
    for meter in club.meters:
        until = standard_until(meter)
        if until is not None and as_of > until:
            yield Note("standard-past-its-day", {"meter": meter.name, "date": until})


def _recent(readings: Readings, timezone: str, as_of: dt.date) -> "Rows":
    """Readings of the last months up to the end of a day, in the order of time."""
    zone = ZoneInfo(timezone)
    end = dt.datetime.combine(as_of + dt.timedelta(days=1), dt.time(), zone)
    recent = (readings.time >= utc(end - MONTHS_BACK)) & (readings.time < utc(end))
    rows = np.flatnonzero(recent)
    return rows[np.argsort(readings.time[rows], kind="stable")]


def _off_standard(club: Club, readings: Readings, rows: "dict[str, Rows]") -> Iterator[Note]:
    for meter in club.meters:
        checks = rows[meter.name][readings.point[rows[meter.name]] == "standard"]
        shown, celsius = readings.conductivity_us_cm[checks], readings.temperature_c[checks]
        found = off_standard(shown, celsius, meter)
        if found is not None and abs(found.percent) > OFF_STANDARD_PERCENT:
            values = _values(found) | {"meter": meter.name}
            once = found.before_percent is None
            yield Note("meter-off-its-standard" if once else "meter-drifts-off", values)


def _apart(club: Club, readings: Readings, rows: "dict[str, Rows]") -> Iterator[Note]:
    """Pairs of meters that show the same water too differently, at the point read most often."""
    for one, other in combinations(club.meters, 2):
        found = [
            (off, point)
            for point in sorted(set(readings.point[rows[one.name]]) - {"standard"})
            if (off := _apart_at(readings, rows, (one, other), point)) is not None
        ]
        if not found:
            continue
        off, point = max(found, key=lambda pair: (pair[0].counted, abs(pair[0].percent)))
        if abs(off.percent) > APART_PERCENT:
            names = {"meter": one.name, "other": other.name, "point": point}
            values = names | _values(off)
            once = off.before_percent is None
            yield Note("meters-disagree" if once else "meters-drift-apart", values)


def _apart_at(
    readings: Readings, rows: "dict[str, Rows]", meters: tuple[Meter, Meter], point: str
) -> Off | None:
    at = [rows[meter.name][readings.point[rows[meter.name]] == point] for meter in meters]
    times = [readings.time[chosen].astype("datetime64[s]").astype(float) for chosen in at]
    pairs = read_together(times[0], times[1], TOGETHER_S)
    at_25 = [
        at_25_us_cm(readings, chosen[places], meter)
        for chosen, places, meter in zip(at, pairs, meters, strict=True)
    ]
    return apart(at_25[0], at_25[1], [meter.resolution_us_cm for meter in meters])


def _values(off: Off) -> dict[str, object]:
    before = {} if off.before_percent is None else {"before_percent": off.before_percent}
    return {"percent": off.percent, "counted": off.counted, **before}
