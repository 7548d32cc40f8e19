"""The first steps of a plan: the water of the supply, and what the resin makes of it."""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property

from waterkit.club.schema import Club
from waterkit.errors import FieldError, InputError, Problem
from waterkit.plan.bed import RunPoint, bed_run, resin_run, run_points
from waterkit.plan.drift import meter_findings
from waterkit.plan.experience import Learned, learn
from waterkit.plan.feed import Feed, read_feed
from waterkit.plan.outlet import outlet_findings
from waterkit.season.supply import UNLIMITED_L
from waterkit.treatment.common_train import COMMON_TRAIN, common_vessels
from waterkit.treatment.ion_exchange import ResinRun, Vessel, lead_vessel, run_by_rating
from waterkit.treatment.parcels import Tell
from waterkit.treatment.remaining import LitresLeft
from waterkit.treatment.train import Process, ProcessResult, positions, reaching_resin, treat
from waterkit.treatment.vessel_run import AtChange, VesselRun, at_change
from waterkit.water.composition import Load, Water, conductivity_25, load
from waterkit.water.limits import strictest
from waterkit.working import Note


@contextmanager
def told_of(file: str) -> Iterator[None]:
    """Turn what a room refuses into a problem with the file that asked for it."""
    try:
        yield
    except FieldError as error:
        problem = Problem(file, error.message, error.hint, field=error.field)
        raise InputError([problem]) from error


@dataclass(frozen=True)
class ResinPlan:
    """Water, train and resin of a club as of one day."""

    club: Club
    as_of: dt.date
    tell: Tell | None = None
    """Is told the share of a long run that is done."""

    @cached_property
    def feed(self) -> Feed:
        """The water of the supply, checked and completed."""
        self.club.need("samples", "source", "fouling")
        return read_feed(self.club, self.as_of)

    @cached_property
    def processes(self) -> tuple[ProcessResult, ...]:
        """What leaves each process of the train."""
        self.club.need("changeout")
        feed, club = self.feed, self.club
        return treat(
            feed.supply, self.train, self.vessels, club.changeout, feed.bought, feed.chlorine_mg_l
        )

    @cached_property
    def reaching(self) -> Water:
        """The water that reaches the resin."""
        return reaching_resin(self.feed.supply, self.train, self.processes)

    @cached_property
    def load(self) -> Load:
        """What the resin has to take of each litre that reaches it."""
        return load(self.reaching)

    @property
    def train(self) -> tuple[Process, ...]:
        """The club's train, or a common one."""
        self.club.need("train")
        return self.club.train or COMMON_TRAIN

    @property
    def vessels(self) -> tuple[Vessel, ...]:
        """The club's vessels, or common ones in the positions of the train."""
        self.club.need("vessels")
        return self.club.vessels or common_vessels(self.train)

    @cached_property
    def vessel(self) -> Vessel | None:
        """The vessel in the lead, or the only one."""
        return lead_vessel(self.vessels)

    @cached_property
    def learned(self) -> Learned:
        """What the club's own log tells of each kind of vessel."""
        self.club.need("changeout")
        with told_of("vessels.csv"):
            return learn(self.club, self.as_of, self.feed, self.train, self.vessels)

    @cached_property
    def trusted(self) -> Vessel | None:
        """The vessel in the lead as it is trusted most: as learned, else as rated or by totals."""
        return self.vessel and self.learned.trusted(self.vessel)

    @cached_property
    def by_rating(self) -> ResinRun | None:
        """What a fresh vessel in the lead gives on this water by its rating, or its totals."""
        if self.vessel is None:
            return None
        self.club.need("changeout")
        with told_of("vessels.csv"):
            return run_by_rating(self.vessel, self.load, self.club.changeout)

    @cached_property
    def resin(self) -> ResinRun | None:
        """What a fresh vessel in the lead gives on this water, by what is trusted most."""
        if self.vessel is None or self.trusted is None:
            return None
        with told_of("vessels.csv"):
            changeout = self.club.changeout
            return resin_run(self.reaching, self.vessel, self.trusted, changeout, self.tell)

    @cached_property
    def learned_litres(self) -> LitresLeft | None:
        """Litres of one fresh vessel as learned, with their range; None where nothing was."""
        return self.learned.fresh(self.vessel, self.load) if self.vessel else None

    @cached_property
    def bed(self) -> VesselRun | Note | None:
        """The bed of that vessel as a column; why it is not reckoned; None without a vessel."""
        if self.vessel is None or self.resin is None:
            return None
        with told_of("vessels.csv"):
            return bed_run(self.reaching, self.vessel, self.resin, self.tell)

    @cached_property
    def at_change(self) -> AtChange | None:
        """What that bed holds when it is changed, and what leaves the vessels then."""
        bed, run = self.bed, self.resin
        if not isinstance(bed, VesselRun) or run is None or run.litres_to_change is None:
            return None
        with told_of("vessels.csv"):
            return at_change(bed, run.litres_to_change, max(len(positions(self.train)), 1))

    @cached_property
    def run_points(self) -> tuple[RunPoint, ...]:
        """What leaves that bed at each point where somebody has to do something."""
        if not isinstance(self.bed, VesselRun) or self.resin is None:
            return ()
        self.club.need("limits")
        limit = self.club.limits[strictest(self.club.limits)]
        feed_25_us_cm = float(conductivity_25(self.reaching))
        return run_points(self.bed, self.resin, self.rinse_l, limit, feed_25_us_cm)

    @cached_property
    def resin_findings(self) -> tuple[Note, ...]:
        """What somebody must know of meters, and of what is read behind the resin."""
        found = meter_findings(self.club, self.as_of)
        if self.vessel is None or not isinstance(self.bed, VesselRun):
            return found
        curve = (self.bed.run.litres, self.bed.run.conductivity_25_us_cm)
        outlet = outlet_findings(
            self.club, self.as_of, self.learned, self.vessel, curve, self.rinse_l
        )
        return (*found, *outlet)

    @property
    def rinse_l(self) -> float:
        """Water that rinses a fresh vessel in [L]."""
        self.club.need("flush")
        return self.club.flush.fresh_bv * (self.vessel.resin_l if self.vessel else 0.0)

    def life_l(self, water: Water) -> float:
        """Litres of a fresh vessel until it is changed, on a water that reaches it."""
        return self.litres_to_change(water) or UNLIMITED_L

    def litres_to_change(self, water: Water) -> float | None:
        """The same, None without a vessel or without a load."""
        if self.vessel is None or self.trusted is None:
            return None
        with told_of("vessels.csv"):
            changeout = self.club.changeout
            run = resin_run(water, self.vessel, self.trusted, changeout, self.tell, far=False)
        return run.litres_to_change
