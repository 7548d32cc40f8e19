"""What a card carries to the tank: all that the command would know there, as of one day.

A phone has a clock and keeps readings of its own, but no folder: what becomes old with the days
is carried with its day, so that the phone leaves out what the command would leave out by then.
"""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.at_tank import Asked, AtTank, meter_of, table_of
from waterkit.plan.lately import FROZEN, LATELY, Belief, Lately
from waterkit.plan.resin_plan import told_of
from waterkit.tank.baked import Baked, whole
from waterkit.tank.case import POINTS, Known
from waterkit.water.meter import Meter

OLD_AFTER = dt.timedelta(days=7)
"""A card is made anew every week, as long as resin is in use: common practice, no source."""


@dataclass(frozen=True, slots=True)
class CarriedReading:
    """A reading of the log in whole numbers; ``at_25`` is None where it tells nothing of that."""

    time: dt.datetime
    point: str
    meter: str
    shown: int
    at_25: int | None


@dataclass(frozen=True)
class Carried:
    """The table and the knowledge of one club, as they stood at the end of a day."""

    club: Club
    as_of: dt.date

    @property
    def moment(self) -> dt.datetime:
        """The end of the day by the club's clock."""
        return dt.datetime.combine(self.as_of, dt.time.max, ZoneInfo(self.club.timezone))

    @cached_property
    def table(self) -> Baked:
        """The baked table, the same as the command's."""
        self.club.need("limits", "meters", "people", "train")
        with told_of("club.toml"):
            return table_of(self.club)

    @cached_property
    def at_tank(self) -> AtTank:
        """What the folder tells, whichever meter is read and whatever it shows."""
        return AtTank(self.club, self.moment, Asked(0.0, "uS/cm", 0.0, "DI outlet", meter=""))

    @property
    def known(self) -> Known:
        """What is known whichever meter is read; readings and checks come beside it."""
        return self.at_tank.known

    @property
    def unnamed(self) -> str:
        """The meter that is meant where none is named; empty where that is not known."""
        meter = meter_of(self.club, None)
        return meter.name if meter else ""

    @property
    def lately(self) -> Lately:
        """The log at the end of the day."""
        return self.at_tank.lately

    @cached_property
    def beliefs(self) -> dict[str, Belief]:
        """How long each meter is believed."""
        return {meter.name: self.lately.belief(meter) for meter in self.club.meters}

    @property
    def changed(self) -> dt.date | None:
        """The day of the newest change of any vessel: all of them stand before the outlet."""
        return self.lately.put_in_on

    @cached_property
    def readings(self) -> tuple[CarriedReading, ...]:
        """Readings that may still count on a later day, in their order.

        Those of the last days at points that are judged, and the last ones of every meter.
        """
        since = self.moment - LATELY - dt.timedelta(days=1)
        rows = [self.lately.rows(point, since=since) for point in POINTS]
        rows += [self.lately.rows(meter=meter.name)[-FROZEN:] for meter in self.club.meters]
        chosen = np.unique(np.concatenate(rows))
        in_order = [int(row) for row in self.lately.rows() if row in chosen]
        return tuple(self._reading(row) for row in in_order)

    def _reading(self, row: int) -> CarriedReading:
        log, at_25 = self.club.readings, self.lately.believed_at_25_us_cm(row)
        assert log is not None
        names = {meter.name: meter for meter in self.club.meters}
        factor = names.get(log.meter[row], Meter("")).factor or 1.0
        return CarriedReading(
            log.time[row].astype(dt.datetime).replace(tzinfo=dt.UTC),
            log.point[row],
            log.meter[row],
            whole(float(log.conductivity_us_cm[row]) * factor),
            None if at_25 is None else whole(at_25),
        )
