"""The build: the steps of the layer plan put on the calendar, back from opening day."""

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated
from zoneinfo import ZoneInfo

from waterkit.dates import ONE_DAY
from waterkit.errors import FieldError
from waterkit.ice.layers import LayerStep, StepHours, StepWater
from waterkit.quantities import DAYS, FLOW, HOURS, POWER, TEMPERATURE
from waterkit.working import Note

WORK_STARTS = dt.time(8)
LONGEST_BUILD_D = 400


@dataclass(frozen=True, slots=True)
class Closure:
    """Days without play, both included; ``relevel`` plans a re-levelling flood on the first."""

    from_: dt.date
    until: dt.date
    why: str = ""
    relevel: bool = False


@dataclass(frozen=True, slots=True)
class SeasonDates:
    """First and last draw, closures, and the hours of a day in which water can be put on [h]."""

    first_draw: dt.date
    last_draw: dt.date
    closures: tuple[Closure, ...] = ()
    work_hours_h: Annotated[float, HOURS] = 10.0


@dataclass(frozen=True, slots=True)
class Chiller:
    """What the plant can freeze, by one of three descriptions, the first one preferred.

    Parameters
    ----------
    freeze_test_l_h : float or None
        Measured: water that the plant freezes in an hour [L/h].
    spare_kw : float or None
        Heat that it can take beside the standing load [kW].
    capacity_kw, standing_load_kw : float or None
        Heat that it can take, and what the hall brings in by itself [kW].
    brine_c : float
        Temperature of the secondary coolant [degC].
    plant_on : date or None
        Day on which the plant is switched on.
    pull_down_d : float
        Days from warm slab to set point [d].
    """

    freeze_test_l_h: Annotated[float, FLOW] | None = None
    spare_kw: Annotated[float, POWER] | None = None
    capacity_kw: Annotated[float, POWER] | None = None
    standing_load_kw: Annotated[float, POWER] | None = None
    brine_c: Annotated[float, TEMPERATURE] = -10.0
    plant_on: dt.date | None = None
    pull_down_d: Annotated[float, DAYS] = 3.0


@dataclass(frozen=True, slots=True)
class PlannedStep:
    """One row of the layer plan with its water, its hours, and the moments of its passes.

    A row that is done has no passes to come; its ``end`` is the day it was done.
    """

    row: LayerStep
    water: StepWater
    hours: StepHours
    start: dt.datetime | None = None
    end: dt.datetime | None = None
    passes: tuple[dt.datetime, ...] = ()

    @property
    def done(self) -> bool:
        """Whether the row is the past."""
        return self.row.done_on is not None


def schedule(
    steps: Sequence[PlannedStep], season: SeasonDates, timezone: str
) -> tuple[PlannedStep, ...]:
    """Put the steps on the calendar so that the ice is ready when opening day begins.

    Passes are put on in the working hours of a day, which begin at 08:00; ice freezes at night too.
    The build starts on the latest day from which it ends in time.

    Raises
    ------
    FieldError
        If the steps take longer than 400 days, or need each other in a loop.
    """
    zone = ZoneInfo(timezone)
    opening = dt.datetime.combine(season.first_draw, dt.time(0), zone)
    needs = needs_of([step.row for step in steps])
    to_come = [step for step in in_order(steps) if not step.done]
    longest = max((step.hours.total_h for step in to_come), default=0.0)
    for days in range(max(math.ceil(longest / 24), 1), LONGEST_BUILD_D + 1):
        begin = dt.datetime.combine(season.first_draw - days * ONE_DAY, WORK_STARTS, zone)
        planned = _run_from(begin, to_come, needs, season.work_hours_h)
        if all(step.end is None or step.end <= opening for step in planned.values()):
            return tuple(planned.get(step.row.step) or _past(step, zone) for step in steps)
    raise FieldError(
        f"the steps take longer than {LONGEST_BUILD_D} days",
        "check depths, passes and minimum waits, and what the plant freezes in [chiller]",
        "minimum wait",
    )


def build_findings(
    steps: Sequence[PlannedStep], season: SeasonDates, chiller: Chiller, as_of: dt.date
) -> tuple[Note, ...]:
    """What to know of the build: it should have begun, or begins before the plant is on.

    Once play has begun, steps that are not done are most likely not marked.
    """
    begin = min((step.start.date() for step in steps if step.start is not None), default=None)
    if begin is None:
        return ()
    if as_of > season.first_draw:
        count = sum(not step.done for step in steps)
        return (Note("steps-not-marked-done", {"count": count, "first_draw": season.first_draw}),)
    found = []
    if begin < as_of:
        found.append(Note("build-begins-late", {"date": begin}))
    if chiller.plant_on is not None and begin < chiller.plant_on:
        found.append(Note("build-before-plant", {"date": begin, "plant_on": chiller.plant_on}))
    return tuple(found)


def _past(step: PlannedStep, zone: ZoneInfo) -> PlannedStep:
    assert step.row.done_on is not None
    return replace(step, end=dt.datetime.combine(step.row.done_on, dt.time(0), zone))


def needs_of(steps: Sequence[LayerStep]) -> dict[str, tuple[str, ...]]:
    """What each step waits for: the steps it names, else the row above."""
    above = ("", *(step.step for step in steps))
    return {
        step.step: step.needs or ((above[row],) if above[row] else ())
        for row, step in enumerate(steps)
    }


def in_order(steps: Sequence[PlannedStep]) -> list[PlannedStep]:
    """The steps, each after all that it needs.

    Raises
    ------
    FieldError
        If steps need each other in a loop.
    """
    from graphlib import CycleError, TopologicalSorter

    by_name = {step.row.step: step for step in steps}
    try:
        order = list(TopologicalSorter(needs_of([step.row for step in steps])).static_order())
    except CycleError as error:
        loop = " - ".join(error.args[1])
        raise FieldError(f"steps need each other in a loop: {loop}", "break it", "needs") from error
    return [by_name[name] for name in order]


def _run_from(
    begin: dt.datetime,
    steps: Sequence[PlannedStep],
    needs: Mapping[str, tuple[str, ...]],
    work_hours: float,
) -> Mapping[str, PlannedStep]:
    ends: dict[str, dt.datetime] = {}
    planned = {}
    for step in steps:
        name = step.row.step
        free = max((ends[need] for need in needs[name] if need in ends), default=begin)
        moments = _passes(free, step, work_hours)
        last = step.hours.apply_h / step.water.passes + step.hours.wait_per_pass_h
        ends[name] = moments[-1] + dt.timedelta(hours=last)
        planned[name] = replace(step, start=moments[0], end=ends[name], passes=tuple(moments))
    return planned


def _passes(free: dt.datetime, step: PlannedStep, work_hours: float) -> list[dt.datetime]:
    apply_h = step.hours.apply_h / step.water.passes
    moments: list[dt.datetime] = []
    for _ in range(step.water.passes):
        moment = _in_working_hours(free, apply_h, work_hours)
        moments.append(moment)
        free = moment + dt.timedelta(hours=apply_h + step.hours.wait_per_pass_h)
    return moments


def _in_working_hours(moment: dt.datetime, hours: float, work_hours: float) -> dt.datetime:
    """The first moment, not before ``moment``, at which work of so many hours may begin."""
    opens = moment.replace(hour=WORK_STARTS.hour, minute=0, second=0, microsecond=0)
    closes = opens + dt.timedelta(hours=work_hours)
    if moment < opens:
        return opens
    fits = moment + dt.timedelta(hours=hours) <= closes
    return moment if fits or moment == opens else opens + ONE_DAY
