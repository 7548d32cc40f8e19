"""Readings behind the vessel that stands first, against the litres that it has treated."""

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING, get_args

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.experience import Learned
from waterkit.plan.metered import read_meter, up_to
from waterkit.treatment.curve_watch import departure, departure_note, stretch_of
from waterkit.treatment.ion_exchange import Vessel
from waterkit.water.conductivity import dilute_at_25
from waterkit.water.meter import Compensation, Meter, actual_us_cm
from waterkit.water.readings import Readings
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    Rows = NDArray[np.int64]

TO_25_C = 25.0
BEHIND = {"lead": ("lead outlet",), "single": ("lead outlet", "DI outlet")}
"""Where the water of a vessel is read that stands in a position."""


def readings_of_run(
    club: Club, as_of: dt.date, learned: Learned, vessel: Vessel
) -> "tuple[Array, Array]":
    """Litres since the vessel in a position was fresh, and what was read behind it at 25 degC.

    Where a reading tells no total of the water meter, the totals before and after it do.
    """
    run, log = learned.standing.get(vessel.position), club.readings
    if run is None or run.began_l is None or log is None or club.lacks("readings", "meters"):
        return np.array([]), np.array([])
    rows = np.flatnonzero(log.time < up_to(club, as_of))
    points = log.point[rows]
    behind = [points == point for point in BEHIND.get(vessel.position, ())]
    rows = rows[np.any(behind, axis=0)] if behind else rows[:0]
    metered = read_meter(club, as_of)
    before_l = run.litres_l - ((metered.latest_l or 0.0) - run.began_l)
    totals = log.treated_total_l[rows]
    totals = np.where(np.isnan(totals), metered.at(log.time[rows]), totals)
    rows, totals = rows[totals >= run.began_l], totals[totals >= run.began_l]
    return before_l + totals - run.began_l, _at_25(club, log, rows)


def outlet_findings(
    club: Club,
    as_of: dt.date,
    learned: Learned,
    vessel: Vessel,
    curve: "tuple[Array, Array]",
    rinse_l: float,
) -> tuple[Note, ...]:
    """Whether the readings behind the vessel have left the curve that is expected there.

    ``curve`` are litres and conductivity at 25 degC [uS/cm] of the bed as trusted.
    """
    litres, shown = readings_of_run(club, as_of, learned, vessel)
    found = departure(litres, shown, curve, rinse_l, stretch_of(learned.of(vessel)))
    return () if found is None else (departure_note(found),)


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
