"""What must hold between the rows of the layer plan, the calendar and the club's own records."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from waterkit.club.draft import Draft, Found, twice
from waterkit.club.fields import Written, did_you_mean, ranged
from waterkit.club.tables import Table
from waterkit.errors import FieldError
from waterkit.ice.layers import LayerStep, check_layers, check_step
from waterkit.quantities import DEPTH, FLOW, MASS_CONCENTRATION, TEMPERATURE, Quantity
from waterkit.units import check_spelling, same_kind, to_core
from waterkit.water.readings import SpotCheck

_AS = " as "
PRESSURE_UNITS = ("bar", "kPa", "psi")
CHECKED: Mapping[str, Quantity] = {
    "hardness": MASS_CONCENTRATION, "chlorine": MASS_CONCENTRATION, "silica": MASS_CONCENTRATION,
    "iron": MASS_CONCENTRATION, "permeate flow": FLOW, "slab temperature": TEMPERATURE,
    "ice thickness": DEPTH,
}  # fmt: skip
"""What each check measures; a pressure is kept as written."""


def check_steps(draft: Draft) -> Found:
    """Each step is one thing, and what it needs is in the plan and does not need it in turn."""
    table = draft.layers
    for row in table.rows:
        try:
            check_step(row.record)
        except FieldError as error:
            yield table.problem((row, error.field), error.message, error.hint)
        for name in row.record.needs:
            if name not in table.names:
                hint = did_you_mean(name, sorted(table.names))
                yield table.problem((row, "needs"), f"there is no step {name!r}", hint)
    white = [row for row in table.rows if row.record.kind == "white"]
    try:
        check_layers(table.records)
    except FieldError as error:
        yield table.problem((white[-1], error.field), error.message, error.hint)
    yield from twice(table, "step")
    yield from _in_circles(table)


def _in_circles(table: Table[LayerStep]) -> Found:
    if len(table.names) < len(table.rows):
        return
    stuck = _stuck(table.records)
    for row in table.rows:
        if row.record.step in stuck:
            message = f"the steps wait for each other: {', '.join(stuck)}"
            hint = "an empty cell means the row above; take one of the needs away"
            yield table.problem((row, "needs"), message, hint)
            return


def _stuck(steps: Sequence[LayerStep]) -> dict[str, set[str]]:
    """Steps that never become ready, with those that they wait for."""
    above = ("", *(step.step for step in steps))
    named = {step.step for step in steps}
    waits = {
        step.step: (set(step.needs) or {before}) & named
        for step, before in zip(steps, above, strict=False)
    }
    after: dict[str, list[str]] = {step: [] for step in waits}
    for step, wanted in waits.items():
        for other in wanted:
            after[other].append(step)
    ready = [step for step, wanted in waits.items() if not wanted]
    while ready:
        done = ready.pop()
        del waits[done]
        for step in after[done]:
            waits[step].discard(done)
            if not waits[step]:
                ready.append(step)
    return waits


def check_draws(draft: Draft) -> Found:
    """A draw fits the rink and ends after it begins."""
    rink, table = draft.of("rink"), draft.draws
    for row in table.rows:
        draw = row.record
        if rink and draw.sheets is not None and draw.sheets > rink.sheets:
            message = f"{draw.sheets} sheets, the rink has {rink.sheets}"
            yield table.problem((row, "sheets"), message, "leave it empty for the usual share")
        if draw.from_ and draw.until and draw.until < draw.from_:
            message = f"{draw.until} is before {draw.from_}"
            yield table.problem((row, "until"), message, "mend one of the two dates")
        if draw.start and draw.end and draw.end <= draw.start:
            message = f"{draw.end:%H:%M} is not after {draw.start:%H:%M}"
            yield table.problem((row, "end"), message, "mend one of the two times")
    yield from same_rows(table, "on")


def check_changeouts(draft: Draft) -> Found:
    """What the water meter behind the resin has counted never falls."""
    table, before, day = draft.changeouts, 0.0, dt.date.min
    for row in sorted(table.rows, key=lambda row: row.record.date):
        total = row.record.treated_total_l
        if total is None:
            continue
        if total < before:
            message = f"{total:g} L is less than {before:g} L on {day}"
            hint = "mend one; after a new water meter write what both have counted together"
            yield table.problem((row, "treated total"), message, hint)
        before, day = total, row.record.date
    yield from same_rows(table, "date")


def check_spots(draft: Draft) -> Found:
    """The unit of a check measures what was looked at."""
    for row in draft.checks.rows:
        try:
            _check_spot(row.record)
        except FieldError as error:
            yield draft.checks.problem((row, error.field), error.message, error.hint)
    yield from same_rows(draft.checks, "date")


def _check_spot(spot: SpotCheck) -> None:
    if spot.what == "pressure":
        if spot.unit not in PRESSURE_UNITS:
            hint = f"write one of: {', '.join(PRESSURE_UNITS)}"
            raise FieldError(f"{spot.unit!r} is not a unit of pressure", hint, "unit")
        return
    quantity = CHECKED[spot.what]
    try:
        unit = check_spelling(spot.unit.partition(_AS)[0])
        if spot.what == "hardness" and same_kind(unit, "mmol/L"):
            return
        value = to_core(spot.value, unit, quantity)
    except FieldError as error:
        raise FieldError(error.message, error.hint, "unit") from error
    try:
        ranged(Written(float(value), quantity.unit), quantity)
    except FieldError as error:
        raise FieldError(error.message, error.hint, "value") from error


def same_rows(table: Table[Any], name: str) -> Found:
    """Warnings about rows that say the same as a row further up."""
    seen: dict[str, int] = {}
    for row in table.rows:
        record = repr(row.record)
        if record in seen:
            message = f"the row stands in line {seen[record]} already"
            hint = "take one away, or make one row of both"
            yield table.problem((row, name), message, hint, "warning")
        seen.setdefault(record, row.line)
