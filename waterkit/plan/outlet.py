"""Readings behind the vessel that stands first, against the litres that it has treated."""

import datetime as dt
from typing import TYPE_CHECKING

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.behind import read_behind
from waterkit.plan.experience import Learned
from waterkit.plan.metered import read_meter
from waterkit.treatment.curve_watch import departure, departure_note, stretch_of
from waterkit.treatment.ion_exchange import Vessel
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


def readings_of_run(
    club: Club, as_of: dt.date, learned: Learned, vessel: Vessel
) -> "tuple[Array, Array]":
    """Litres since the vessel in a position was fresh, and what was read behind it at 25 degC.

    Where a reading tells no total of the water meter, the totals before and after it do.
    """
    run, log = learned.standing.get(vessel.position), club.readings
    if run is None or run.began_l is None or log is None or club.lacks("readings", "meters"):
        return np.array([]), np.array([])
    metered = read_meter(club, as_of)
    _, totals, at_25 = read_behind(club, as_of, vessel.position, metered)
    before_l = run.litres_l - ((metered.latest_l or 0.0) - run.began_l)
    since = totals >= run.began_l
    return before_l + totals[since] - run.began_l, at_25[since]


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
