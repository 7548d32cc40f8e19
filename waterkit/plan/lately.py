"""What the club's log tells lately: readings before a moment, changes of vessels, totals."""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.club.schema import Club
from waterkit.tank.beliefs import check_tells, checked_until, standard_until
from waterkit.tank.case import StandardState
from waterkit.treatment.experience import VesselChange
from waterkit.water.conductivity import dilute_at_25
from waterkit.water.meter import Meter, actual_us_cm, us_cm_of_ppm
from waterkit.water.readings import Readings

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Rows = NDArray[np.int64]

LATELY = dt.timedelta(days=2)
"""How long a reading of the outlet speaks for the water in the tank: common practice, no source."""
FROZEN = 4
"""Readings that are all the same, though taken at different points, before nobody believes them:
common practice, no source."""
_25_C = 25.0


@dataclass(frozen=True, slots=True)
class Belief:
    """How long a meter is believed: last days on which its standard and its last check hold.

    ``checked_until`` is None where it was never checked; ``told`` is what the check told.
    """

    standard_until: dt.date | None
    checked_until: dt.date | None = None
    told: StandardState = ""

    def on(self, day: dt.date) -> StandardState:
        """What is wrong with the meter on a day."""
        if self.standard_until is not None and day > self.standard_until:
            return "standard-expired"
        if self.checked_until is not None and day > self.checked_until:
            return "standard-overdue"
        return self.told


@dataclass(frozen=True, slots=True)
class Lately:
    """A club's log as it stood at a moment."""

    club: Club
    moment: dt.datetime

    @property
    def _log(self) -> Readings | None:
        return None if self.club.lacks("readings") else self.club.readings

    def rows(self, point: str = "", meter: str | None = None, since: dt.datetime | None = None
             ) -> "Rows":  # fmt: skip
        """Readings up to the moment at a point, by a meter, not before another moment; in order."""
        log = self._log
        if log is None or not len(log):
            return np.array([], dtype=np.int64)
        chosen = log.time <= _utc(self.moment)
        if since is not None:
            chosen &= log.time >= _utc(since)
        if point:
            chosen &= log.point == point
        if meter is not None:
            chosen &= log.meter == meter
        found = np.flatnonzero(chosen)
        return found[np.argsort(log.time[found], kind="stable")]

    def at_25_us_cm(self, row: int) -> float | None:
        """What a reading says of its water at 25 degC [uS/cm]; None where that is not known."""
        log = self._log
        assert log is not None
        celsius, meter = float(log.temperature_c[row]), self._meter(log, row)
        if meter is None or not math.isfinite(celsius):
            return None
        actual = actual_us_cm(float(log.conductivity_us_cm[row]), celsius, meter)
        found = float(dilute_at_25(actual, celsius))
        return found if math.isfinite(found) else None

    def _meter(self, log: Readings, row: int) -> Meter | None:
        """The meter of a reading, corrected by what the row itself says of it."""
        names = {meter.name: meter for meter in self.club.meters}
        only = next(iter(names.values())) if len(names) == 1 else None
        meter = names.get(log.meter[row], only if not log.meter[row] else None)
        way, reference = log.compensation[row], float(log.reference_c[row])
        if not way and meter is None:
            return None
        told = meter or Meter("")
        return Meter(
            told.name,
            way or told.compensation,
            told.coefficient_percent_per_c,
            reference if math.isfinite(reference) else told.reference_c,
        )

    def newest_at_25_us_cm(self, point: str, since: dt.datetime | None = None) -> float | None:
        """The newest reading at a point that says what it was at 25 degC [uS/cm]."""
        for row in self.rows(point, since=since)[::-1]:
            if (found := self.at_25_us_cm(int(row))) is not None:
                return found
        return None

    def earlier_at_25_us_cm(self, point: str, meter: str) -> float | None:
        """The last reading of a meter at a point, with no vessel changed since [uS/cm]."""
        since = self.moment - LATELY
        if (change := self.change) is not None and change.date >= since.date():
            return None
        rows = self.rows(point, meter, since)
        return self.at_25_us_cm(int(rows[-1])) if len(rows) else None

    def frozen_us_cm(self, meter: str) -> float | None:
        """What a meter showed at each of its last readings, at different points [uS/cm]."""
        log, rows = self._log, self.rows(meter=meter)[-FROZEN:]
        if log is None or len(rows) < FROZEN:
            return None
        shown, points = set(log.conductivity_us_cm[rows].tolist()), set(log.point[rows].tolist())
        return shown.pop() if len(shown) == 1 and len(points) > 1 else None

    def standard(self, meter: Meter) -> StandardState:
        """What is wrong with a meter's standard or its last check."""
        return self.belief(meter).on(self.moment.date())

    def belief(self, meter: Meter) -> Belief:
        """How long a meter's standard and its last check hold, and what that check told."""
        log, rows = self._log, self.rows("standard", meter.name)
        if log is None or not len(rows):
            return Belief(standard_until(meter))
        row = int(rows[-1])
        checked = log.time[row].astype("datetime64[D]").astype(dt.date)
        celsius = float(log.temperature_c[row])
        known = celsius if math.isfinite(celsius) else None
        told = check_tells(float(log.conductivity_us_cm[row]), known, meter)
        return Belief(standard_until(meter), checked_until(checked), told)

    @property
    def change(self) -> VesselChange | None:
        """The newest change of the vessel in the lead, or of the only one."""
        past = [] if self.club.lacks("changeouts") else self._changes(self.club.changeouts)
        return max(past, key=lambda change: change.date, default=None)

    def _changes(self, changes: Sequence[VesselChange]) -> list[VesselChange]:
        day = self.moment.date()
        return [one for one in changes if one.date <= day and one.position != "lag"]

    @property
    def treated_l(self) -> float | None:
        """Water that the vessel in the lead has treated since it was put in [L]."""
        change, total = self.change, self._total_l(self.rows())
        if change is None or total is None:
            return None
        if (before := change.treated_total_l) is None:
            day = dt.datetime.combine(change.date, dt.time.max, self.moment.tzinfo)
            before = Lately(self.club, day)._total_l(Lately(self.club, day).rows())
        return None if before is None else max(total - before, 0.0)

    def _total_l(self, rows: "Rows") -> float | None:
        """The newest total of the water meter behind the resin [L]."""
        if (log := self._log) is None:
            return None
        totals = log.treated_total_l[rows]
        told = totals[~np.isnan(totals)]
        return float(told[-1]) if len(told) else None


def shown_us_cm_of(reading: float, unit: str, meter: Meter) -> float:
    """What a meter shows, as conductivity, from the number and the unit on its display [uS/cm]."""
    return float(us_cm_of_ppm(reading, meter)) if unit == "ppm" else reading


def _utc(moment: dt.datetime) -> np.datetime64:
    return np.datetime64(moment.astimezone(dt.UTC).replace(tzinfo=None), "s")
