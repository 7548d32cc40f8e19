"""A batch of white as checked: by its bags, or by the jug beside a jug of water."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, TypeVar

from waterkit.errors import FieldError, InputError, Problem
from waterkit.ice.batches import Batch
from waterkit.ice.checking import BatchReading, read_jug, read_powder
from waterkit.ice.paint import Ratio
from waterkit.plan.mixing import Mixing, mixing
from waterkit.plan.season import SeasonPlan
from waterkit.quantities import MASS, MASS_G, Quantity
from waterkit.units import check_spelling, parse_number, split_number, to_core, units_of

COMMAND = "waterkit paint"
By = Literal["jug", "bags"]
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found out about a batch, by what, and the ratio that its card tells."""

    batch: Batch
    by: By
    reading: BatchReading
    planned: Ratio


def check_batch(plan: SeasonPlan, number: int, jug: str | None, powder: str | None) -> Checked:
    """A batch by the jug's difference, or by the powder that went in; both as somebody types them.

    Raises
    ------
    InputError
        With what is wrong; the problem names its option.
    """
    plan.club.need("white")
    if (jug is None) == (powder is None):
        hint = 'write --jug "375 g", how much more mix weighs than water, or --powder "30 kg"'
        raise _wrong("--batch", FieldError("a batch is checked by jug or by powder", hint))
    mixed = mixing(plan)
    batch = _batch(mixed, number)
    assert mixed is not None
    assert plan.painting is not None
    white, water_c = mixed.white, plan.painting.water_c
    if powder is not None:
        kilograms = _told("--powder", lambda: _core(powder, MASS))
        reading = _told("--powder", lambda: read_powder(white, batch, kilograms))
        return Checked(batch, "bags", reading, white.ratio)
    grams = _told("--jug", lambda: _core(jug or "", MASS_G))
    reading = _told("--jug", lambda: read_jug(white, grams, batch.mark_l, water_c))
    return Checked(batch, "jug", reading, white.ratio)


def _batch(mixed: Mixing | None, number: int) -> Batch:
    batches = mixed.batches if mixed else ()
    for batch in batches:
        if batch.batch == number:
            return batch
    hint = f"write a number from 1 to {len(batches)}" if batches else "it has no white to come"
    raise _wrong("--batch", FieldError(f"the plan has no batch {number}", hint))


def _core(text: str, quantity: Quantity) -> float:
    number, unit = split_number(text)
    if number and not unit:
        hint = f'write its unit: "{number} {quantity.unit}" (or {units_of(quantity)})'
        raise FieldError(f"{text!r} has no unit", hint)
    value = parse_number(number or text)
    return float(to_core(value, check_spelling(unit), quantity))


def _told(option: str, read: Callable[[], R]) -> R:
    try:
        return read()
    except FieldError as error:
        raise _wrong(option, error) from error


def _wrong(option: str, error: FieldError) -> InputError:
    return InputError([Problem(COMMAND, error.message, error.hint, field=option)])
