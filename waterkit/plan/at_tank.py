"""One reading at the tank: what the club's folder and log know beside it, and the verdict.

Only what the verdict needs is worked out, so that nobody waits at the tank for a season's plan.
"""

import datetime as dt
import math
from dataclasses import dataclass
from functools import cached_property

from waterkit.club.schema import Club
from waterkit.errors import FieldError
from waterkit.plan.lately import Lately, shown_us_cm_of
from waterkit.plan.resin_left import ResinLeft, resin_left
from waterkit.plan.supply_water import feed_samples, in_use, supply_on
from waterkit.tank.baked import Baked, bake, tenths_of, whole
from waterkit.tank.case import Known, Point, Said, Seen, Unit
from waterkit.tank.verdict import Decision, judge
from waterkit.treatment.common_train import COMMON_TRAIN, common_vessels
from waterkit.treatment.ion_exchange import Vessel, lead_vessel
from waterkit.treatment.processes import BoughtIn, Process, Tank
from waterkit.treatment.train import last_tank
from waterkit.water.analysis import complete
from waterkit.water.carbonate import open_to_air
from waterkit.water.composition import Water, conductivity_25
from waterkit.water.conductivity import dilute_at_25, dilute_at_temperature
from waterkit.water.limits import USES, Limit, Use
from waterkit.water.meter import Meter, actual_us_cm, shown_ppm, shown_us_cm
from waterkit.water.sample import Sample

HUNDRED = 100.0
FEED_ODD = 3.0
"""A reading of the supply that is so many times off its sample is of something else, or in another
unit: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What somebody asks at the tank; ``reading`` is in ``unit``, None or 0 is what is not said.

    ``total_l`` is what the water meter behind the resin shows.
    """

    reading: float
    unit: Unit
    temperature: float
    point: Point = "tank"
    use: Use = "flood"
    litres: float = 0.0
    meter: str | None = None
    seen: tuple[Seen, ...] = ()
    total_l: float | None = None


@dataclass(frozen=True)
class AtTank:
    """The answer to one reading: the decision, and the figures behind it, as they are.

    ``expected_25_us_cm`` is the most that is to be expected at the outlet after the litres that the
    resin has treated; None where nobody knows.
    """

    club: Club
    moment: dt.datetime
    asked: Asked
    expected_25_us_cm: float | None = None

    @cached_property
    def table(self) -> Baked:
        """The baked table, the same as on the card."""
        return table_of(self.club)

    @cached_property
    def lately(self) -> Lately:
        """The log up to now."""
        return Lately(self.club, self.moment, self.asked.total_l)

    @cached_property
    def meter(self) -> Meter | None:
        """The meter that was read; None where it is not known which, or how it corrects."""
        return meter_of(self.club, self.asked.meter)

    @cached_property
    def decision(self) -> Decision:
        """The verdict, its reasons and the next steps."""
        return judge(self.table, self.said, self.known)

    @property
    def said(self) -> Said:
        """The question in whole numbers."""
        asked = self.asked
        return Said(
            asked.point, asked.use, self.meter.name if self.meter else "", whole(asked.reading),
            asked.unit, tenths_of(asked.temperature), math.ceil(asked.litres), asked.seen,
        )  # fmt: skip

    @cached_property
    def known(self) -> Known:
        """What the folder and the log know, in whole numbers."""
        club, lately, meter, tank = self.club, self.lately, self.meter, tank_of(self.club)
        name = meter.name if meter else ""
        frozen = lately.frozen_us_cm(name) if meter else None
        earlier = lately.earlier_at_25_us_cm(self.asked.point, name) if meter else None
        outlet = lately.outlet_at_25_us_cm()
        factor = (meter.factor if meter else None) or 1.0
        return Known(
            feed_25=_whole(self.feed_25_us_cm),
            outlet_25=_whole(outlet),
            earlier_25=_whole(earlier),
            frozen_shown=None if frozen is None else whole(frozen * factor),
            standard=lately.state_of(self.asked.meter or ""),
            rinse_l=self._rinse_l,
            rinse_known=self._since_put_in_l is not None,
            litres_left=None if self.litres_left is None else math.floor(self.litres_left),
            tank_l=math.floor(max(tank.volume_l - tank.heel_l, 0.0)),
            reserve_percent=math.ceil(tank.reserve_percent),
            change_25=_whole(_change_mark(club)),
            expected_25=_whole(self.expected),
            log_unread=lately.unread,
            feed_odd_25=_whole(self._feed_read) if self._feed_is_odd else None,
        )

    @property
    def expected(self) -> float | None:
        """The most that is to be expected at the outlet by now [uS/cm at 25 degC]."""
        if self.expected_25_us_cm is not None or self.resin is None:
            return self.expected_25_us_cm
        return self.resin.expected_25_us_cm

    @cached_property
    def vessel(self) -> Vessel | None:
        """The vessel whose litres count."""
        if self.club.lacks("vessels", "train"):
            return None
        return lead_vessel(self.club.vessels or common_vessels(train_of(self.club)))

    @cached_property
    def feed(self) -> Water | None:
        """The supply, completed; None where no sample can be used."""
        return feed_of(self.club, self.lately.day)

    @property
    def feed_25_us_cm(self) -> float | None:
        """The supply at 25 degC [uS/cm]: as read since its sample, else as that tells it."""
        if self._feed_read is None or self._feed_is_odd:
            return self._feed_sampled
        return self._feed_read

    @cached_property
    def _feed_read(self) -> float | None:
        return self.lately.feed_since(sampled_on(self.club, self.lately.day))

    @cached_property
    def _feed_sampled(self) -> float | None:
        return None if self.feed is None else float(conductivity_25(self.feed))

    @property
    def _feed_is_odd(self) -> bool:
        """Whether the reading of the supply and its sample are too far apart to be one water."""
        read, sampled = self._feed_read, self._feed_sampled
        if read is None or sampled is None:
            return False
        return max(read, sampled) > FEED_ODD * min(read, sampled)

    @cached_property
    def resin(self) -> ResinLeft | None:
        """What the vessel that stands first still gives."""
        club, feed = self.club, self.feed
        bought = {} if feed is None else _bought(club, float(feed.temperature_c))
        return resin_left(club, self.lately, self.vessel, feed, train_of(club), bought)

    @property
    def litres_left(self) -> float | None:
        """Litres until the vessel in the lead is changed, by what is trusted most [L]."""
        return None if self.resin is None else self.resin.litres_l

    @cached_property
    def litres_per_draw(self) -> float | None:
        """Pebble water of one league draw, with what stays in cans and hoses [L]."""
        if self.club.lacks("pebble"):
            return None
        rules, sheets = self.club.pebble, self.club.rink.sheets
        waste = 1.0 + rules.waste_percent / HUNDRED
        return rules.league_l * sheets * rules.sheet_use_percent / HUNDRED * waste

    @property
    def draws_left(self) -> int | None:
        """League draws that the resin still makes the pebble water for."""
        return self.draws_of(self.litres_left)

    def draws_of(self, litres_l: float | None) -> int | None:
        """League draws that so much water makes the pebble for."""
        if litres_l is None or not self.litres_per_draw:
            return None
        return math.floor(litres_l / self.litres_per_draw)

    @property
    def _rinse_l(self) -> int:
        """Litres that are still to be rinsed through a vessel put in lately, lead or lag.

        All of them where nobody knows how much has run since.
        """
        vessel, treated = self.vessel, self._since_put_in_l
        if vessel is None or self.lately.put_in_on is None or self.club.lacks("flush"):
            return 0
        if treated is None and not self.lately.changed_lately:
            return 0
        return max(math.ceil(self.club.flush.fresh_bv * vessel.resin_l - (treated or 0.0)), 0)

    @cached_property
    def _since_put_in_l(self) -> float | None:
        """Litres since a vessel was put in last; None where nobody knows."""
        lately = self.lately
        if (day := lately.put_in_on) is None:
            return None
        change = lately.put_in
        return lately.treated_since(day, change.treated_total_l if change else None)

    # The figures as the model has them, which the table holds in whole numbers.

    @property
    def limit(self) -> Limit:
        """The limit that decides."""
        return self.club.limits[self.decision.use]

    @property
    def actual_us_cm(self) -> float | None:
        """What the water conducts as it is [uS/cm]; None where the meter is not known."""
        meter, asked = self.meter, self.asked
        if meter is None:
            return None
        shown = shown_us_cm_of(asked.reading, asked.unit, meter)
        found = float(actual_us_cm(shown, asked.temperature, meter))
        return found if math.isfinite(found) else None

    @property
    def actual_25_us_cm(self) -> float | None:
        """The same water closed and warmed to 25 degC [uS/cm]."""
        actual = self.actual_us_cm
        return None if actual is None else float(dilute_at_25(actual, self.asked.temperature))

    def limit_us_cm(self, at_25_us_cm: float) -> float:
        """A limit at the temperature of the water [uS/cm]."""
        return float(dilute_at_temperature(at_25_us_cm, self.asked.temperature))

    @property
    def air_us_cm(self) -> float:
        """What air alone does at the temperature of the water [uS/cm]."""
        ppm = tank_of(self.club).air_co2_ppm
        return float(open_to_air(self.asked.temperature, ppm).conductivity_us_cm)

    def shown_us_cm(self, actual_us_cm: float) -> float | None:
        """What the meter would show, as conductivity or as ppm, whichever it shows [uS/cm]."""
        if self.meter is None:
            return None
        turn = shown_ppm if self.meter.factor else shown_us_cm
        found = float(turn(actual_us_cm, self.asked.temperature, self.meter))
        return found if math.isfinite(found) else None


def at_tank(
    club: Club, moment: dt.datetime, asked: Asked, expected_25_us_cm: float | None = None
) -> AtTank:
    """Judge a reading.

    Raises
    ------
    InputError
        If limits or meters hold an error: nothing can be judged without them.
    """
    club.need("limits", "meters")
    return AtTank(club, moment, asked, expected_25_us_cm)


def table_of(club: Club) -> Baked:
    """The baked table of a club, for the command and for the card."""
    club.need("limits", "meters")
    tank = tank_of(club)
    return bake(club.limits, club.meters, tank.air_co2_ppm, uses_of_tank(club), tank.open_)


def uses_of_tank(club: Club) -> tuple[Use, ...]:
    """The uses that the tank will still serve: steps to be done that draw from it, and pebble."""
    if club.lacks("layers") or not club.layers:
        return USES
    steps = {row.use for row in club.layers if row.draws_from == "tank" and row.done_on is None}
    return tuple(use for use in USES if use in steps or use == "pebble")


def meter_of(club: Club, name: str | None) -> Meter | None:
    """The meter of a name; without a name the club's meter, if all of them show the same.

    Raises
    ------
    FieldError
        If no meter of that name is in club.toml, though others are.
    """
    if name and club.meters:
        found = _named(club.meters, name)
        if found is None:
            names = ", ".join(repr(meter.name) for meter in club.meters)
            raise FieldError(f"there is no meter {name!r} in club.toml", f"write one of {names}")
        return found
    ways = {
        (meter.compensation, meter.coefficient_percent_per_c, meter.reference_c, meter.factor)
        for meter in club.meters
    }
    return club.meters[0] if len(ways) == 1 else None


def _named(meters: tuple[Meter, ...], name: str) -> Meter | None:
    """The meter of a name as written, else of the same letters, large or small."""
    alike = [meter for meter in meters if _plain(meter.name) == _plain(name)]
    exact = (meter for meter in meters if meter.name == name)
    return next(exact, alike[0] if len(alike) == 1 else None)


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())


def train_of(club: Club) -> tuple[Process, ...]:
    """The club's train; a common one where there is none, or none that can be used."""
    return COMMON_TRAIN if club.lacks("train") or not club.train else club.train


def tank_of(club: Club) -> Tank:
    """The tank that the ice is made from."""
    return last_tank(train_of(club))


def sampled_on(club: Club, day: dt.date) -> dt.date | None:
    """The day of the newest sample of the supply up to a day."""
    return max((sample.date for sample in _feed_samples(club) if sample.date <= day), default=None)


def _feed_samples(club: Club) -> list[Sample]:
    if club.lacks("samples", "source"):
        return []
    return in_use(feed_samples(club.samples), club.source)


def feed_of(club: Club, day: dt.date) -> Water | None:
    """The supply on a day, as its samples tell it; None where none can be used."""
    if club.lacks("samples", "source"):
        return None
    used = _feed_samples(club)
    celsius = club.source.temperature_on(day)
    return supply_on(day, used, club.source, celsius)[0].water if used else None


def _bought(club: Club, celsius: float) -> dict[str, Water]:
    """The waters that are brought in, by the names of their samples."""
    names = {process.sample for process in train_of(club) if isinstance(process, BoughtIn)}
    return {s.sample: complete(s, celsius).water for s in club.samples if s.sample in names}


def _change_mark(club: Club) -> float | None:
    """The mark at which the only vessel is changed, read at the outlet [uS/cm]."""
    single = not club.lacks("changeout", "vessels") and any(
        vessel.position == "single" for vessel in club.vessels
    )
    return club.changeout.conductivity_us_cm if single else None


def _whole(value: float | None) -> int | None:
    return None if value is None else whole(value)
