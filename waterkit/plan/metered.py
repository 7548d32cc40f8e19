"""What the water meter behind the resin counted: its totals on a day, and between days."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from waterkit.club.schema import Club

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Times = NDArray[np.datetime64]
    Array = NDArray[np.float64]

DAY = dt.timedelta(days=1)
NOON = dt.time(12)


@dataclass(frozen=True, slots=True)
class Metered:
    """Totals of the water meter up to a day, in the order of time (UTC) [L].

    ``read`` are those of the readings; ``known`` adds those of the changeouts, which tell a day
    only and count as at its noon.
    """

    read_at: "Times"
    read_l: "Array"
    known_at: "Times"
    known_l: "Array"
    timezone: str

    def on(self, day: dt.date) -> float | None:
        """The last total that was read on a day [L]; None where none was."""
        first, after = np.searchsorted(self.read_at, [self._starts(day), self._starts(day + DAY)])
        return float(self.read_l[after - 1]) if after > first else None

    @property
    def latest_l(self) -> float | None:
        """The highest total of the last day on which one is known [L]."""
        if not len(self.known_l):
            return None
        last_day = self.known_at > self.known_at[-1] - np.timedelta64(1, "D")
        return float(self.known_l[last_day].max())

    def at(self, times: "Times") -> "Array":
        """The totals at some moments [L]; nan where none is known both before and after."""
        if not len(self.known_l):
            return np.full(len(times), np.nan)
        moments = times.astype("datetime64[s]").astype(float)
        known = self.known_at.astype(float)
        found = np.interp(moments, known, np.maximum.accumulate(self.known_l))
        outside = (moments < known[0]) | (moments > known[-1])
        return np.asarray(np.where(outside, np.nan, found))

    def parted(
        self, start: dt.date, end: dt.date, span_l: tuple[float, float], borders: Sequence[dt.date]
    ) -> list[float]:
        """Litres before the first border, between the borders, and after the last one.

        Between two known totals the meter is taken to have run evenly.
        """
        at = np.array([self._starts(border) for border in borders], dtype="datetime64[s]")
        moments = np.array([self._starts(start), self._starts(end + DAY)], dtype="datetime64[s]")
        within = (self.known_l >= span_l[0]) & (self.known_l <= span_l[1])
        within &= (self.known_at >= moments[0]) & (self.known_at < moments[1])
        times = np.concatenate([moments[:1], self.known_at[within], moments[1:]])
        litres = np.concatenate([[span_l[0]], self.known_l[within], [span_l[1]]])
        order = np.argsort(times, kind="stable")
        rising = np.maximum.accumulate(litres[order])
        totals = np.interp(at.astype(float), times[order].astype(float), rising)
        parts = np.diff(np.clip([span_l[0], *totals, span_l[1]], *span_l))
        return [float(part) for part in parts]

    def _starts(self, day: dt.date) -> np.datetime64:
        return utc(dt.datetime.combine(day, dt.time(), ZoneInfo(self.timezone)))


def up_to(club: Club, as_of: dt.date) -> np.datetime64:
    """The end of a day at the club (UTC)."""
    return utc(dt.datetime.combine(as_of + DAY, dt.time(), ZoneInfo(club.timezone)))


def read_meter(club: Club, as_of: dt.date) -> Metered:
    """The totals that readings and changeouts tell up to the end of a day."""
    zone = ZoneInfo(club.timezone)
    read_at, read_l = _of_readings(club, up_to(club, as_of))
    noted = [
        (utc(dt.datetime.combine(change.date, NOON, zone)), change.treated_total_l)
        for change in club.changeouts
        if change.treated_total_l is not None and change.date <= as_of
    ]
    noted_at = np.array([at for at, _ in noted], dtype="datetime64[s]")
    known_at = np.concatenate([read_at, noted_at])
    known_l = np.concatenate([read_l, np.array([litres for _, litres in noted], dtype=float)])
    order = np.argsort(known_at, kind="stable")
    return Metered(read_at, read_l, known_at[order], known_l[order], club.timezone)


def _of_readings(club: Club, end: np.datetime64) -> "tuple[Times, Array]":
    readings = club.readings
    if readings is None:
        return np.array([], dtype="datetime64[s]"), np.array([])
    told = (readings.time < end) & ~np.isnan(readings.treated_total_l)
    at, litres = readings.time[told], readings.treated_total_l[told]
    if bool((at[1:] >= at[:-1]).all()):
        return at, litres
    order = np.argsort(at, kind="stable")
    return at[order], litres[order]


def utc(moment: dt.datetime) -> np.datetime64:
    """A moment as the log keeps it: UTC, to the second."""
    return np.datetime64(moment.astimezone(dt.UTC).replace(tzinfo=None), "s")
