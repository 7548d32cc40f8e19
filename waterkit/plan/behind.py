"""What was read behind a vessel: each reading with its total, at 25 degC by its own meter."""

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.metered import Metered, up_to
from waterkit.water.conductivity import dilute_at_25
from waterkit.water.meter import Compensation, Meter, actual_us_cm
from waterkit.water.readings import Readings

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Rows = NDArray[np.int64]
    Times = NDArray[np.datetime64]

TO_25_C = 25.0
BEHIND = {"lead": ("lead outlet",), "single": ("lead outlet", "DI outlet")}
"""Where the water of a vessel is read that stands in a position."""


def read_behind(
    club: Club, as_of: dt.date, position: str, metered: Metered
) -> "tuple[Times, Array, Array]":
    """Moments (UTC), totals and readings at 25 degC behind the vessel in a position.

    Where a reading tells no total of the water meter, the totals before and after it do.
    """
    log = club.readings
    if log is None or club.lacks("readings", "meters"):
        return np.array([], dtype="datetime64[s]"), np.array([]), np.array([])
    rows = np.flatnonzero(log.time < up_to(club, as_of))
    points = log.point[rows]
    behind = [points == point for point in BEHIND.get(position, ())]
    rows = rows[np.any(behind, axis=0)] if behind else rows[:0]
    rows = rows[np.argsort(log.time[rows], kind="stable")]
    totals = log.treated_total_l[rows]
    totals = np.where(np.isnan(totals), metered.at(log.time[rows]), totals)
    return log.time[rows], totals, _at_25(club, log, rows)


def _at_25(club: Club, log: Readings, rows: "Rows") -> "Array":
    """Each reading by its own meter; one without a name by the only meter there is."""
    found = np.full(len(rows), np.nan)
    for meter in club.meters:
        names = (meter.name, "") if len(club.meters) == 1 else (meter.name,)
        for name in names:
            these = np.flatnonzero(log.meter[rows] == name)
            found[these] = at_25_us_cm(log, rows[these], meter)
    return found


def at_25_us_cm(readings: Readings, rows: "Rows", meter: Meter) -> "Array":
    """What readings of a meter say of their water at 25 degC; nan where that is not known.

    Without a temperature a meter that corrects to 25 degC is believed.
    """
    shown, celsius = readings.conductivity_us_cm[rows], readings.temperature_c[rows]
    ways, references = readings.compensation[rows], readings.reference_c[rows]
    references = np.where(np.isnan(references), meter.reference_c, references)
    found = np.full(len(rows), np.nan)
    ways = np.where(ways == "", meter.compensation, ways)
    for way in get_args(Compensation):
        for reference in set(references[ways == way].tolist()):
            these = (ways == way) & (references == reference)
            told = replace(meter, compensation=way, reference_c=reference)
            actual = actual_us_cm(shown[these], celsius[these], told)
            believed = shown[these] if way != "none" and reference == TO_25_C else np.nan
            known = dilute_at_25(actual, celsius[these])
            found[these] = np.where(np.isnan(celsius[these]), believed, known)
    return found
