"""The plan of a season: reads like the job, one line a step, no formula in it.

Each step is worked out when it is first asked for, from the steps before it. A step says which
parts of the club it needs; where one of them holds an error, asking for the step raises InputError,
and all steps that do not need it still answer.
"""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from waterkit.club.schema import Club
from waterkit.errors import FieldError, InputError, Problem
from waterkit.ice.batches import PaintPlan, plan_paint
from waterkit.ice.common_layers import default_layers
from waterkit.ice.freezing import PlantRate, plant_rate_l_h
from waterkit.ice.layers import LayerStep, step_hours, step_water
from waterkit.plan.feed import Feed, handed_by_day, lives_by_day, read_feed
from waterkit.purchasing.budget import Totals, totals
from waterkit.purchasing.needs import Need, SeasonFacts, season_needs
from waterkit.purchasing.orders import OrderLine, bag_kg, order_findings, purchase_list
from waterkit.purchasing.price import WaterPrice, water_price
from waterkit.purchasing.records import Supplier
from waterkit.season.build import PlannedStep, build_findings, schedule
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
from waterkit.treatment.common_train import COMMON_TRAIN, common_vessels
from waterkit.treatment.ion_exchange import ResinRun, Vessel, lead_vessel, run_by_rating
from waterkit.treatment.train import (
    Handed,
    Process,
    ProcessResult,
    last_tank,
    reaching_resin,
    treat,
)
from waterkit.water.composition import Load, load
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.season.demand import DemandTable


@dataclass(frozen=True)
class SeasonPlan:
    """Everything that a club's folder leads to, as of one day; pages only word it."""

    club: Club
    as_of: dt.date

    @cached_property
    def feed(self) -> Feed:
        """The water of the supply, checked and completed."""
        self.club.need("samples", "source", "fouling")
        return read_feed(self.club, self.as_of)

    @cached_property
    def processes(self) -> tuple[ProcessResult, ...]:
        """What leaves each process of the train."""
        self.club.need("changeout")
        water = self.feed.completed.water
        club = self.club
        return treat(water, self.train, self.vessels, club.changeout, self.feed.bought)

    @cached_property
    def load(self) -> Load:
        """What the resin has to take of each litre that reaches it."""
        water = self.feed.completed.water
        return load(reaching_resin(water, self.train, self.processes))

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
    def resin(self) -> ResinRun | None:
        """What a fresh vessel in the lead gives on this water."""
        if self.vessel is None:
            return None
        self.club.need("changeout")
        with told_of("vessels.csv"):
            return run_by_rating(self.vessel, self.load, self.club.changeout)

    @cached_property
    def freezing(self) -> PlantRate:
        """What the plant freezes in an hour."""
        self.club.need("chiller", "source")
        with told_of("club.toml"):
            return _freezing(self.club)

    @cached_property
    def steps(self) -> tuple[PlannedStep, ...]:
        """The layer plan with its water and hours, on the calendar back from opening day."""
        self.club.need("layers", "white", "boom", "slab")
        with told_of("layers.csv"):
            return _build(self.club, self.freezing)

    @cached_property
    def white(self) -> PaintPlan | None:
        """The white as mixed, before anybody knows the bags; None where none is to come."""
        self.club.need("white", "source")
        with told_of("club.toml"):
            return _paint(self.club, self.steps, None)

    @cached_property
    def paint(self) -> PaintPlan | None:
        """The white in batches and, where an offer tells their size, in bags."""
        if self.white is None or self.club.lacks(*PURCHASES):
            return self.white
        return _paint(self.club, self.steps, bag_kg(self.orders))

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
        life = lives_by_day(self.days, self.feed, self.train, self.vessel, self.club.changeout)
        with told_of("vessels.csv"):
            return plant_of(self.train, self.vessels, life, flush, hours, self.handed)

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
        return totals(self.orders, self.suppliers)

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
    def order_findings(self) -> tuple[Note, ...]:
        """What somebody must know of the purchases."""
        return (*order_findings(self.orders), *self.totals.notes)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What stands in the way of any step, found by asking for each."""
        found: list[Problem] = []
        for step in ("processes", "steps", "paint", "weeks", "supply", "totals", "price", "card"):
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


PURCHASES = ("items", "budget", "stock", "offers", "suppliers", "people", "draws", "pebble",
             "flush", "train", "vessels", "changeout", "samples", "source")  # fmt: skip


@contextmanager
def told_of(file: str) -> Iterator[None]:
    """Turn what a room refuses into a problem with the file that asked for it."""
    try:
        yield
    except FieldError as error:
        problem = Problem(file, error.message, error.hint, field=error.field)
        raise InputError([problem]) from error


def plan_season(club: Club, as_of: dt.date) -> SeasonPlan:
    """Plan the whole season of a club as it stands on a day."""
    return SeasonPlan(club, as_of)


def _freezing(club: Club) -> PlantRate:
    chiller = club.chiller
    return plant_rate_l_h(
        chiller.freeze_test_l_h,
        chiller.spare_kw,
        chiller.capacity_kw,
        chiller.standing_load_kw,
        club.source.temperature_on(club.season.first_draw),
        club.rink.sheets,
    )


def _build(club: Club, freezing: PlantRate) -> tuple[PlannedStep, ...]:
    planned = []
    for row in (_pulled_down(row, club) for row in club.layers or default_layers(club.rink)):
        water = step_water(row, club.rink, club.white)
        hours = step_hours(water, row, freezing.litres_per_hour, club.boom)
        planned.append(PlannedStep(row, water, hours))
    return schedule(planned, club.season, club.timezone)


def _pulled_down(row: LayerStep, club: Club) -> LayerStep:
    if row.kind != "pull-down" or row.minimum_wait_h:
        return row
    return replace(row, minimum_wait_h=club.chiller.pull_down_d * 24)


def _paint(club: Club, steps: tuple[PlannedStep, ...], bag_kg: float | None) -> PaintPlan | None:
    white = [step for step in steps if step.row.kind == "white" and not step.done]
    area = sum(step.water.area_m2 for step in white)
    water_c = club.source.temperature_on(club.season.first_draw)
    return plan_paint(club.white, area, bag_kg, water_c) if area else None
