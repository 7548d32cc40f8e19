"""The plan of a season: reads like the job, one line a step, no formula in it."""

import datetime as dt
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from waterkit.club.schema import Club
from waterkit.ice.batches import PaintPlan, plan_paint
from waterkit.ice.common_layers import default_layers
from waterkit.ice.freezing import PlantRate, plant_rate_l_h
from waterkit.ice.layers import LayerStep, step_hours, step_water
from waterkit.purchasing.budget import Totals, totals
from waterkit.purchasing.needs import SeasonFacts, season_needs
from waterkit.purchasing.orders import OrderLine, bag_kg, order_findings, purchase_list
from waterkit.purchasing.price import WaterPrice, water_price
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
from waterkit.season.supply import Supply, plant_of, run_season, supply_findings
from waterkit.tank.table import LimitRow, limit_table
from waterkit.treatment.ion_exchange import ResinRun, Vessel, lead_vessel, run_by_rating
from waterkit.treatment.train import ProcessResult, last_tank, treat
from waterkit.water.analysis import (
    Completed,
    Load,
    Sample,
    SampleReport,
    complete,
    load,
    report_sample,
)
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.season.demand import DemandTable


@dataclass(frozen=True, slots=True)
class Feed:
    """The supply as planned with: every feed sample, the one in force, and it completed."""

    reports: tuple[SampleReport, ...]
    in_force: Sample
    completed: Completed
    load: Load
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class SeasonPlan:
    """Everything that a club's folder leads to, as of one day; pages only word it."""

    club: Club
    as_of: dt.date
    feed: Feed
    processes: tuple[ProcessResult, ...]
    vessel: Vessel | None
    resin: ResinRun | None
    freezing: PlantRate
    steps: tuple[PlannedStep, ...]
    paint: PaintPlan | None
    plays: tuple[Play, ...]
    ice_days: tuple[IceDay, ...]
    weeks: tuple[PebbleWeek, ...]
    demand: "DemandTable"
    supply: Supply
    orders: tuple[OrderLine, ...]
    totals: Totals
    price: WaterPrice
    card: tuple[LimitRow, ...]
    findings: tuple[Note, ...]
    notes: tuple[Note, ...]

    @property
    def ice_mm(self) -> float:
        """Ice that the layer plan builds [mm]."""
        return sum(step.water.ice_mm for step in self.steps)

    @property
    def feed_water_l(self) -> float:
        """Water that the layer plan draws before any treatment [L]."""
        return sum(step.water.drawn_l for step in self.steps if step.row.draws_from == "feed")

    @property
    def start(self) -> dt.datetime | None:
        """The latest start of the build for opening day; None where nothing is to come."""
        return min((step.start for step in self.steps if step.start is not None), default=None)


def plan_season(club: Club, as_of: dt.date) -> SeasonPlan:
    """Plan the whole season of a club as it stands on a day."""
    feed = read_feed(club, as_of)
    processes = treat(feed.completed.water, club.train, club.vessels, club.changeout)
    vessel = lead_vessel(club.vessels)
    resin = run_by_rating(vessel, feed.load, club.changeout) if vessel else None
    freezing = _freezing(club)
    steps = _build(club, freezing)
    paint = _paint(club, steps, None)
    plays = open_calendar(club.draws or COMMON_DRAWS, club.season, club.rink, club.pebble)
    days = ice_days(plays, club.season, club.rink, club.pebble)
    weeks = pebble_weeks(days, club.rink, club.pebble, sum(step.water.ice_mm for step in steps))
    demand = daily_demand(steps, days, club.pebble, club.flush)
    plant = plant_of(club.train, club.vessels, resin, club.flush, club.season.work_hours_h)
    supply = run_season(demand[demand.index >= as_of], plant)
    facts = SeasonFacts(
        club.rink, club.season, club.people.crew, steps, plays, days, supply, club.vessels,
        paint.powder_kg if paint else 0.0,
    )  # fmt: skip
    needs = season_needs(club.items, facts, club.budget, as_of)
    suppliers = {supplier.supplier: supplier for supplier in club.suppliers}
    orders = purchase_list(needs, club.stock, club.offers, suppliers, club.budget, as_of)
    findings = (
        *supply_findings(supply),
        *build_findings(steps, club.season, club.chiller, as_of),
        *order_findings(orders),
    )
    return SeasonPlan(
        club=club,
        as_of=as_of,
        feed=feed,
        processes=processes,
        vessel=vessel,
        resin=resin,
        freezing=freezing,
        steps=steps,
        paint=_paint(club, steps, bag_kg(orders)),
        plays=plays,
        ice_days=days,
        weeks=weeks,
        demand=demand,
        supply=supply,
        orders=orders,
        totals=totals(orders, suppliers),
        price=water_price(orders, club.offers, facts, club.pebble, as_of),
        card=limit_table(club.limits, last_tank(club.train).air_co2_ppm),
        findings=findings,
        notes=_notes(club, feed),
    )


def read_feed(club: Club, as_of: dt.date) -> Feed:
    """The feed in force on a day: the newest sample on or before it, else the earliest."""
    samples = sorted(
        (sample for sample in club.samples if sample.point == "feed"), key=lambda s: s.date
    )
    past = [sample for sample in samples if sample.date <= as_of]
    in_force = past[-1] if past else samples[0]
    notes = () if past else (Note("sample-after-the-day", {"sample": in_force.sample}),)
    reports = tuple(
        report_sample(sample, club.source.temperature_on(sample.date)) for sample in samples
    )
    completed = complete(in_force, club.source.temperature_on(as_of))
    return Feed(reports, in_force, completed, load(completed.water), notes)


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


def _notes(club: Club, feed: Feed) -> tuple[Note, ...]:
    notes = list(feed.notes) + list(feed.completed.notes)
    if not club.layers:
        notes.append(Note("default-layers"))
    if not club.draws:
        notes.append(Note("default-draws"))
    if not club.vessels:
        notes.append(Note("no-vessels"))
    return tuple(notes)
