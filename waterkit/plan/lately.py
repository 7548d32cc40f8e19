"""What the club's log tells lately: readings before a moment, changes of vessels, totals."""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.metered import utc
from waterkit.tank.beliefs import check_tells, checked_until, standard_until
from waterkit.tank.case import DOUBTS, FAULTS, StandardState
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import lead_vessel
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
SEEN = "seen: "
"""Begins the note of a reading of which somebody saw what a meter does not."""
WATERS = {"feed": "supply", "softened": "supply", "standard": "standard"}
"""Points whose water surely differs from all others, which may well show the same."""
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


@dataclass(frozen=True)
class Lately:
    """A club's log as it stood at a moment; ``total_l`` is what the water meter shows now."""

    club: Club
    moment: dt.datetime
    total_l: float | None = None

    @property
    def day(self) -> dt.date:
        """The day by the club's clock."""
        return self.moment.astimezone(self._zone).date()

    @property
    def _zone(self) -> ZoneInfo:
        return ZoneInfo(self.club.timezone)

    @property
    def unread(self) -> bool:
        """Whether the log holds an error, so that what it tells is not known."""
        return self.club.lacks("readings", "changeouts")

    @property
    def _log(self) -> Readings | None:
        return None if self.club.lacks("readings") else self.club.readings

    def rows(self, point: str = "", meter: str | None = None, since: dt.datetime | None = None
             ) -> "Rows":  # fmt: skip
        """Readings up to the moment at a point, by a meter, not before another moment; in order."""
        log = self._log
        if log is None or not len(log):
            return np.array([], dtype=np.int64)
        chosen = log.time <= utc(self.moment)
        if since is not None:
            chosen &= log.time >= utc(since)
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

    def believed_at_25_us_cm(self, row: int) -> float | None:
        """The same of a reading that says something: not 0, and nothing was seen beside it."""
        log = self._log
        assert log is not None
        if log.conductivity_us_cm[row] == 0 or SEEN in log.note[row]:
            return None
        return self.at_25_us_cm(row)

    def outlet_at_25_us_cm(self) -> float | None:
        """The newest believed reading of the resin's outlet lately, no vessel changed since.

        None of a meter that is known to be at fault.
        """
        log, since = self._log, self.moment - LATELY
        if (put_in_on := self.put_in_on) is not None:
            since = max(since, dt.datetime.combine(put_in_on, dt.time(), self._zone))
        for row in self.rows("DI outlet", since=since)[::-1]:
            found = self.believed_at_25_us_cm(int(row))
            if found is not None and log and self.state_of(log.meter[row]) not in FAULTS:
                return found
        return None

    def feed_since(self, day: dt.date | None) -> float | None:
        """The newest reading of the supply of the last year, after a day [uS/cm at 25 degC]."""
        since = self.moment - dt.timedelta(days=365)
        if day is not None:
            after = dt.datetime.combine(day + dt.timedelta(days=1), dt.time(), self._zone)
            since = max(since, after)
        return self.newest_at_25_us_cm("feed", since)

    def earlier_at_25_us_cm(self, point: str, meter: str) -> float | None:
        """The last reading of a meter at a point, with no vessel changed since [uS/cm]."""
        if self.changed_lately:
            return None
        rows = self.rows(point, meter, self.moment - LATELY)
        return self.believed_at_25_us_cm(int(rows[-1])) if len(rows) else None

    def frozen_us_cm(self, meter: str) -> float | None:
        """What a meter showed at each of its last readings, of waters that differ [uS/cm]."""
        log, rows = self._log, self.rows(meter=meter)[-FROZEN:]
        if log is None or len(rows) < FROZEN:
            return None
        shown = set(log.conductivity_us_cm[rows].tolist())
        waters = {WATERS.get(point, "treated") for point in log.point[rows]}
        return shown.pop() if len(shown) == 1 and len(waters) > 1 else None

    def standard(self, meter: Meter) -> StandardState:
        """What is wrong with a meter's standard or its last check."""
        return self.belief(meter).on(self.day)

    def state_of(self, name: str) -> StandardState:
        """The same of a meter by its name; without a name that of the worst meter."""
        states = {meter.name: self._states[meter.name] for meter in self.club.meters}
        if name:
            return states.get(name, "")
        return next((one for one in (*FAULTS, *DOUBTS) if one in states.values()), "")

    @cached_property
    def _states(self) -> dict[str, StandardState]:
        return {meter.name: self.standard(meter) for meter in self.club.meters}

    def belief(self, meter: Meter) -> Belief:
        """How long a meter's standard and its last check hold, and what that check told."""
        log, rows = self._log, self.rows("standard", meter.name)
        if log is None or not len(rows):
            return Belief(standard_until(meter), told="" if self.unread else "never-checked")
        row = int(rows[-1])
        moment = log.time[row].astype(dt.datetime).replace(tzinfo=dt.UTC)
        checked = moment.astimezone(self._zone).date()
        celsius = float(log.temperature_c[row])
        known = celsius if math.isfinite(celsius) else None
        told = check_tells(float(log.conductivity_us_cm[row]), known, meter)
        drifts = not told and meter.name in self._drifting
        return Belief(
            standard_until(meter), checked_until(checked), "meter-drifts" if drifts else told
        )

    @cached_property
    def _drifting(self) -> set[object]:
        """Names of the meters that leave their standard or each other."""
        from waterkit.plan.drift import meter_findings

        return {
            note.values[who] for note in meter_findings(self.club, self.day)
            for who in ("meter", "other")
            if who in note.values and note.key != "standard-past-its-day"
        }  # fmt: skip

    @property
    def change(self) -> VesselChange | None:
        """The newest change of the vessel in the lead, or of the only one."""
        return self._newest([one for one in self._changes if one.position != "lag"])

    @property
    def put_in(self) -> VesselChange | None:
        """The newest change of any vessel: all of them stand before the outlet."""
        return self._newest(self._changes)

    @property
    def put_in_on(self) -> dt.date | None:
        """The day of that; where no change is written, the day on which the lead was fresh."""
        if (change := self.put_in) is not None:
            return change.date
        if self.club.lacks("vessels", "changeouts"):
            return None
        vessel = lead_vessel(self.club.vessels)
        fresh_on = vessel.fresh_on if vessel else None
        return fresh_on if fresh_on and fresh_on <= self.day else None

    @property
    def changed_lately(self) -> bool:
        """Whether a vessel was put in within the last days."""
        first = (self.moment - LATELY).astimezone(self._zone).date()
        return self.put_in_on is not None and self.put_in_on >= first

    @property
    def _changes(self) -> list[VesselChange]:
        changes = () if self.club.lacks("changeouts") else self.club.changeouts
        return [one for one in changes if one.date <= self.day]

    def _newest(self, changes: Sequence[VesselChange]) -> VesselChange | None:
        """The last row of the newest day."""
        return max(reversed(changes), key=lambda change: change.date, default=None)

    @cached_property
    def treated_l(self) -> float | None:
        """Water that the vessel in the lead has treated since it was put in [L].

        Where no change tells of it, since the day on which vessels.csv says that it was fresh.
        """
        if (change := self.change) is not None:
            return self.treated_since(change.date, change.treated_total_l, or_first=True)
        if self.put_in is not None or (fresh_on := self.put_in_on) is None:
            return None
        return self.treated_since(fresh_on, or_first=True)

    def treated_since(
        self, day: dt.date, before_l: float | None = None, or_first: bool = False
    ) -> float | None:
        """Water that has been treated since a day, or since a total of the water meter [L].

        By the last total up to the end of that day; where there is none, if so wished, by the
        first one of all.
        """
        total = self._total_l(self.rows()) if self.total_l is None else self.total_l
        if total is None:
            return None
        if before_l is None:
            end = Lately(self.club, dt.datetime.combine(day, dt.time.max, self._zone))
            before_l = end._total_l(end.rows())
        if before_l is None and or_first:
            before_l = self._total_l(self.rows(), first=True)
        return None if before_l is None else max(total - before_l, 0.0)

    def _total_l(self, rows: "Rows", first: bool = False) -> float | None:
        """The newest total of the water meter behind the resin, or the first one [L]."""
        if (log := self._log) is None:
            return None
        totals = log.treated_total_l[rows]
        told = totals[~np.isnan(totals)]
        return float(told[0 if first else -1]) if len(told) else None


def shown_us_cm_of(reading: float, unit: str, meter: Meter) -> float:
    """What a meter shows, as conductivity, from the number and the unit on its display [uS/cm]."""
    return float(us_cm_of_ppm(reading, meter)) if unit == "ppm" else reading
