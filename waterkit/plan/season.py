"""The plan of a season: reads like the job, one line a step, no formula in it.

Each step is worked out when it is first asked for, from the steps before it. A step says which
parts of the club it needs; where one of them holds an error, asking for the step raises InputError,
and all steps that do not need it still answer.
"""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from waterkit.club.schema import Club
from waterkit.errors import InputError, Problem
from waterkit.ice.batches import PaintPlan
from waterkit.ice.freezing import PlantRate
from waterkit.ice.marking_needs import MarkingNeeds, marking_needs
from waterkit.plan.building import plan_build, plan_freezing
from waterkit.plan.feed import handed_by_day, lives_by_day
from waterkit.plan.painting import TO_ACT_ON, Painting, paint_batches, plan_painting
from waterkit.plan.resin_plan import ResinPlan, told_of
from waterkit.purchasing.budget import Totals, totals
from waterkit.purchasing.needs import Need, SeasonFacts, season_needs
from waterkit.purchasing.orders import OrderLine, bag_kg, order_findings, purchase_list
from waterkit.purchasing.price import WaterPrice, water_price
from waterkit.purchasing.records import Supplier
from waterkit.season.build import PlannedStep, build_findings
from waterkit.season.demand import (
    COMMON_DRAWS,
    IceDay,
    PebbleWeek,
    Play,
    daily_demand,
    ice_days,
    open_calendar,
    pebble_weeks,
)
from waterkit.season.supply import Plant, Supply, plant_of, run_season, supply_findings
from waterkit.tank.table import LimitRow, limit_table
from waterkit.treatment.common_train import common_vessels
from waterkit.treatment.parcels import Tell
from waterkit.treatment.train import (
    Handed,
    last_tank,
)
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.season.demand import DemandTable


@dataclass(frozen=True)
class SeasonPlan(ResinPlan):
    """Everything that a club's folder leads to, as of one day; pages only word it."""

    @cached_property
    def freezing(self) -> PlantRate:
        """What the plant freezes in an hour."""
        self.club.need("chiller", "source")
        with told_of("club.toml"):
            return plan_freezing(self.club)

    @cached_property
    def steps(self) -> tuple[PlannedStep, ...]:
        """The layer plan with its water and hours, on the calendar back from opening day."""
        self.club.need("layers", "white", "boom", "slab")
        with told_of("layers.csv"):
            return plan_build(self.club, self.freezing)

    @cached_property
    def painting(self) -> Painting | None:
        """The painting day: jug, cover, spraying; None where no white is to come."""
        self.club.need("white", "boom", "source")
        with told_of("club.toml"):
            return plan_painting(self.club, self.steps)

    @cached_property
    def markings(self) -> MarkingNeeds:
        """What houses, lines and marks take on the sheets as measured."""
        self.club.need("colours")
        with told_of("club.toml"):
            return marking_needs(self.club.colours, self.club.rink)

    @cached_property
    def white(self) -> PaintPlan | None:
        """The white as mixed, before anybody knows the bags; None where none is to come."""
        with told_of("club.toml"):
            return paint_batches(self.club, self.painting, None)

    @cached_property
    def paint(self) -> PaintPlan | None:
        """The white in batches and, where an offer tells their size, in bags."""
        if self.white is None or self.club.lacks(*PURCHASES):
            return self.white
        return paint_batches(self.club, self.painting, bag_kg(self.orders, self.club.offers))

    @cached_property
    def plays(self) -> tuple[Play, ...]:
        """Every day's draws."""
        club = self.club
        club.need("draws", "pebble")
        return open_calendar(club.draws or COMMON_DRAWS, club.season, club.rink, club.pebble)

    @cached_property
    def ice_days(self) -> tuple[IceDay, ...]:
        """Pebble, scrapes and re-levelling of each day."""
        return ice_days(self.plays, self.club.season, self.club.rink, self.club.pebble)

    @cached_property
    def weeks(self) -> tuple[PebbleWeek, ...]:
        """Pebble water and ice week by week."""
        return pebble_weeks(self.ice_days, self.club.rink, self.club.pebble, self.ice_mm)

    @cached_property
    def demand(self) -> "DemandTable":
        """What each day asks of the tank, by use."""
        self.club.need("flush")
        return daily_demand(self.steps, self.ice_days, self.club.pebble, self.club.flush)

    @cached_property
    def days(self) -> tuple[dt.date, ...]:
        """The days from this one to the last that asks for water."""
        return tuple(day for day in self.demand.index if day >= self.as_of)

    @cached_property
    def plant(self) -> Plant:
        """What the day-by-day engine needs to know of train, vessels and each day's water."""
        flush, hours = self.club.flush, self.club.season.work_hours_h
        life = lives_by_day(self.days, self.feed, self.train, self.life_l)
        with told_of("vessels.csv"):
            standing = self.learned.standing_now(self.vessels, self.load)
            return plant_of(self.train, standing, life, flush, hours, self.handed)

    @cached_property
    def handed(self) -> Handed:
        """What the train takes on each day for what it hands on."""
        changeout = self.club.changeout
        return handed_by_day(self.days, self.feed, self.train, self.club.source, changeout)

    @cached_property
    def supply(self) -> Supply:
        """The demand from this day on, carried through vessels and tank."""
        return run_season(self.demand.loc[list(self.days)], self.plant)

    @cached_property
    def facts(self) -> SeasonFacts:
        """What the drivers of the purchases are counted from."""
        club = self.club
        club.need("people")
        return SeasonFacts(
            club.rink, club.season, club.people.crew, self.steps, self.plays, self.ice_days,
            self.supply, self.vessels, self.white.powder_kg if self.white else 0.0, self.handed,
        )  # fmt: skip

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """What gets used up, and when."""
        self.club.need("items", "budget")
        return season_needs(self.club.items, self.facts, self.club.budget, self.as_of)

    @cached_property
    def orders(self) -> tuple[OrderLine, ...]:
        """Needs less stock in whole packs, with the day by which to order."""
        club = self.club
        club.need("stock", "offers", "suppliers")
        return purchase_list(
            self.needs, club.stock, club.offers, self.suppliers, club.budget, self.as_of
        )

    @property
    def suppliers(self) -> dict[str, Supplier]:
        """The suppliers by name."""
        return {supplier.supplier: supplier for supplier in self.club.suppliers}

    @cached_property
    def totals(self) -> Totals:
        """What the purchases come to."""
        return totals(self.orders, self.suppliers, self.as_of)

    @cached_property
    def price(self) -> WaterPrice:
        """What treated water comes to."""
        return water_price(self.orders, self.club.offers, self.facts, self.club.pebble, self.as_of)

    @cached_property
    def card(self) -> tuple[LimitRow, ...]:
        """The limits at the tank by water temperature."""
        self.club.need("limits", "meters", "people")
        return limit_table(self.club.limits, last_tank(self.train).air_co2_ppm)

    @property
    def ice_mm(self) -> float:
        """Ice that the layer plan builds [mm]."""
        return sum(step.water.ice_mm for step in self.steps)

    @property
    def start(self) -> dt.datetime | None:
        """The latest start of the build for opening day; None where nothing is to come."""
        return min((step.start for step in self.steps if step.start is not None), default=None)

    @cached_property
    def build_findings(self) -> tuple[Note, ...]:
        """What somebody must know of the build."""
        return build_findings(self.steps, self.club.season, self.club.chiller, self.as_of)

    @cached_property
    def supply_findings(self) -> tuple[Note, ...]:
        """What somebody must know of the water."""
        return supply_findings(self.supply, self.plant)

    @cached_property
    def paint_findings(self) -> tuple[Note, ...]:
        """What somebody must know of white and markings."""
        marks = () if self.club.lacks("colours") else self.markings.notes
        notes = (*(self.painting.notes if self.painting else ()), *marks)
        return tuple(note for note in notes if note.key in TO_ACT_ON)

    @cached_property
    def order_findings(self) -> tuple[Note, ...]:
        """What somebody must know of the purchases."""
        return (*order_findings(self.orders), *self.totals.notes)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What stands in the way of any step, found by asking for each."""
        found: list[Problem] = []
        for step in STEPS:
            try:
                getattr(self, step)
            except InputError as error:
                found += error.problems
        return tuple(dict.fromkeys(found))

    @property
    def defaults(self) -> tuple[Note, ...]:
        """The files that common practice stands in for."""
        stand_ins = (
            (self.club.layers, Note("default-layers")),
            (self.club.draws, Note("default-draws")),
            (self.club.train, Note("default-train")),
            (self.club.vessels or not common_vessels(self.train), Note("default-vessels")),
            (self.club.items, Note("no-items")),
        )
        return tuple(note for rows, note in stand_ins if not rows)


STEPS = ("processes", "steps", "paint", "markings", "weeks", "supply", "totals", "price", "card")
"""Steps that between them ask for all others."""
PURCHASES = ("items", "budget", "stock", "offers", "suppliers", "people", "draws", "pebble",
             "flush", "train", "vessels", "changeout", "samples", "source")  # fmt: skip


def plan_season(club: Club, as_of: dt.date, tell: Tell | None = None) -> SeasonPlan:
    """Plan the whole season of a club as it stands on a day.

    ``tell``, if given, is told the share of a long run of the resin that is done.
    """
    return SeasonPlan(club, as_of, tell)
