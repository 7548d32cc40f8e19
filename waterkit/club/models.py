"""The reader of each record, derived from its fields: a pydantic model with the written keys.

A record is defined once, as the frozen dataclass beside the formulas that use it. Its model holds
what the club wrote (:class:`Written` figures with range and basis); :func:`to_record` makes the
record of it, :func:`figures_of` lists the figures with the defaults that the club did not write.
"""

import collections.abc
import dataclasses
import datetime as dt
import types
from collections.abc import Callable, Iterator, Mapping
from dataclasses import MISSING, dataclass, replace
from decimal import Decimal
from functools import cache, partial, reduce
from operator import or_
from typing import (
    Annotated,
    Any,
    ClassVar,
    Literal,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from pydantic_core import SchemaValidator

from waterkit.club import fields, figures
from waterkit.club.fields import Settings, Written
from waterkit.club.times import read_moment
from waterkit.errors import FieldError
from waterkit.ice.layers import Area
from waterkit.ice.paint import Ratio
from waterkit.quantities import NUMBER, PERCENT, TEMPERATURE, Quantity, find_quantity, written_name
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.reverse_osmosis import COMMON_REJECTION_PERCENT
from waterkit.water.ions import find_analyte
from waterkit.water.readings import SpotCheck

Path = tuple[str | int, ...]
Reader = Callable[[Any, Settings], object]
Schema = dict[str, Any]
"""What pydantic is to check, in its own terms."""
R = TypeVar("R")
TAG = "kind"
SIGNED: Mapping[tuple[type, str], Quantity] = {
    (SpotCheck, "value"): replace(NUMBER, low=-NUMBER.high)
}
"""Plain numbers that may be below zero: a slab's temperature."""
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def _read_months(raw: object, _: Settings) -> dict[int, Written]:
    if not isinstance(raw, Mapping):
        raise FieldError(f"{fields.shown(raw)} is no table by month", 'write jan = "5 degC" ...')
    for name in raw:
        if name not in MONTHS:
            raise FieldError(f"unknown month {name!r}", f"known are: {', '.join(MONTHS)}", name)
    for name in MONTHS:
        if name not in raw:
            raise FieldError(f"{name} is missing", "write all twelve months, or one temperature")
    return {
        number: figures.read_quantity(raw[name], TEMPERATURE)
        for number, name in enumerate(MONTHS, start=1)
    }


def _read_shares(raw: object, _: Settings) -> dict[str, Written]:
    if not isinstance(raw, Mapping):
        hint = 'write { well = "60 %", ... }'
        raise FieldError(f"{fields.shown(raw)} is no table of shares", hint)
    shares = {str(name): figures.read_quantity(part, PERCENT) for name, part in raw.items()}
    if abs(sum(share.value for share in shares.values()) - 100) > 1e-6:  # noqa: PLR2004
        raise FieldError("the shares do not add up to 100 %", "mend one of them")
    return {name: replace(share, value=share.value / 100) for name, share in shares.items()}


def _read_rejection(raw: object, _: Settings) -> dict[str, Written]:
    """The share that a membrane holds back, by formula, with the common share of all others."""
    if not isinstance(raw, Mapping):
        hint = 'write { Ca = "97 %", Cl = "95 %", ... }'
        raise FieldError(f"{fields.shown(raw)} is no table of shares", hint)
    told: dict[str, Written] = {}
    for name, share in raw.items():
        key = find_analyte(str(name))
        if key in told:
            raise FieldError(f"{key} stands twice", "take one away", str(name))
        told[key] = figures.read_quantity(share, PERCENT)
    common = {
        key: Written(share, PERCENT.unit, "assumed")
        for key, share in COMMON_REJECTION_PERCENT.items()
    }
    return common | told


def _read_replaced(raw: object, settings: Settings) -> dict[str, str]:
    if not isinstance(raw, Mapping):
        hint = 'write { "vessels.csv" = "other-vessels.csv" }'
        raise FieldError(f"{fields.shown(raw)} is no table of files", hint)
    return {str(name): fields.read_text(other, settings) for name, other in raw.items()}


READERS: Mapping[object, Reader] = {
    str: fields.read_text,
    int: fields.read_count,
    bool: fields.read_flag,
    Decimal: fields.read_money,
    dt.date: fields.read_date,
    dt.time: fields.read_time,
    dt.datetime: read_moment,
    dt.date | int: fields.read_day,
    dt.date | str: fields.read_day_or_name,
    tuple[str, ...]: fields.read_names,
    Mapping[int, Annotated[float, TEMPERATURE]]: _read_months,
    Mapping[str, float]: _read_shares,
    Mapping[str, Annotated[float, PERCENT]]: _read_rejection,
    Mapping[str, str]: _read_replaced,
    Area: figures.read_area,
    Ratio: figures.read_ratio,
    Endpoint: figures.read_endpoint,
}


@dataclass(frozen=True, slots=True)
class Slot:
    """One field of a record: its key in the files, what it holds, and its default."""

    attribute: str
    key: str
    hint: Any
    quantity: Quantity | None
    default: object

    @property
    def required(self) -> bool:
        """Whether the club must write it."""
        return self.default is MISSING

    @property
    def is_figure(self) -> bool:
        """Whether it holds a figure, with or without a unit."""
        return self.quantity is not None or self.hint in (float, Ratio)

    @property
    def holds_numbers(self) -> bool:
        """Whether a number with decimals may stand in it."""
        return self.is_figure or self.hint in (Decimal, Area, Endpoint)


class WrittenRecord:
    """What the club wrote for one record; ``record`` is its dataclass, ``schema`` its reader's."""

    __slots__ = (
        "__dict__", "__pydantic_extra__", "__pydantic_fields_set__", "__pydantic_private__",
    )  # fmt: skip
    record: ClassVar[type]
    schema: ClassVar[Schema]

    @property
    def model_fields_set(self) -> set[str]:
        """The fields that the club wrote."""
        written: set[str] = getattr(self, "__pydantic_fields_set__", set())
        return written

    @classmethod
    def read(cls, raw: object, settings: Settings) -> "WrittenRecord":
        """What a table or row says.

        Raises
        ------
        pydantic_core.ValidationError
            With everything that is wrong.
        """
        if cls not in _VALIDATORS:
            _VALIDATORS[cls] = SchemaValidator(cls.schema)
        written: WrittenRecord = _VALIDATORS[cls].validate_python(raw, context=settings)
        return written


_VALIDATORS: dict[type[WrittenRecord], SchemaValidator] = {}


@cache
def slots_of(record: type) -> Mapping[str, Slot]:
    """The fields of a record by their written keys."""
    hints = get_type_hints(record, include_extras=True)
    slots: dict[str, Slot] = {}
    for item in dataclasses.fields(record):
        hint = hints[item.name]
        quantity = find_quantity(hint) or SIGNED.get((record, item.name))
        default = item.default if item.default_factory is MISSING else item.default_factory()
        key = written_name(item.name, quantity)
        slots[key] = Slot(item.name, key, bare(hint), quantity, default)
    return slots


def bare(hint: Any) -> Any:
    """A type hint without ``None`` and without annotations."""
    if get_origin(hint) is Annotated:
        return bare(get_args(hint)[0])
    if get_origin(hint) in (Union, types.UnionType):
        parts = [bare(part) for part in get_args(hint) if part is not type(None)]
        return reduce(or_, parts)
    return hint


@cache
def model_of(record: type, all_optional: bool = False) -> type[WrittenRecord]:
    """The pydantic model of a record; ``all_optional`` where defaults come from elsewhere.

    Its schema is put together here from the record's fields, which takes a tenth of the time that
    it takes pydantic to find it out from type hints.
    """
    fields_of: Schema = {}
    for slot in slots_of(record).values():
        schema = _schema_of_slot(slot)
        if all_optional or not slot.required:
            schema = {"type": "default", "schema": schema, "default": None}
        fields_of[slot.attribute] = {
            "type": "model-field", "schema": schema, "validation_alias": slot.key,
        }  # fmt: skip
    body = {"__slots__": (), "record": record}
    model: type[WrittenRecord] = type(record.__name__, (WrittenRecord,), body)
    parts = {"type": "model-fields", "fields": fields_of, "extra_behavior": "forbid"}
    model.schema = {"type": "model", "cls": model, "schema": parts}
    return model


def _schema_of_slot(slot: Slot) -> Schema:
    if slot.hint is float:
        return _through(partial(_quantity, slot.quantity or NUMBER))
    return schema_of(slot.hint)


def schema_of(hint: Any) -> Schema:
    """What pydantic is to check for a bare type hint."""
    if hint in READERS:
        return _through(READERS[hint])
    if dataclasses.is_dataclass(hint):
        return model_of(hint).schema  # type: ignore[arg-type]
    if get_origin(hint) is tuple:
        return {"type": "list", "items_schema": schema_of(get_args(hint)[0])}
    if get_origin(hint) is collections.abc.Mapping:
        key, part = get_args(hint)
        values = model_of(part, True).schema
        return {"type": "dict", "keys_schema": schema_of(key), "values_schema": values}
    if get_origin(hint) is types.UnionType:
        kinds = {tag: model_of(part).schema for part in get_args(hint) for tag in tags_of(part)}
        return {"type": "tagged-union", "choices": kinds, "discriminator": TAG}
    if get_origin(hint) is Literal:
        return {"type": "literal", "expected": list(get_args(hint))}
    raise TypeError(f"no reader for {hint!r}")


def tags_of(record: type) -> tuple[str, ...]:
    """The kinds that a record of several stands for."""
    return get_args(slots_of(record)[TAG].hint)


def _through(reader: Reader) -> Schema:
    def read(raw: object, info: Any) -> object:
        if isinstance(raw, FieldError):
            raise raw
        return reader(raw, info.context or Settings())

    return {"type": "function-plain", "function": {"type": "with-info", "function": read}}


def _quantity(quantity: Quantity, raw: object, _: Settings) -> Written:
    return raw if isinstance(raw, Written) else figures.read_quantity(raw, quantity)


def core(value: object) -> Any:
    """What a record holds for a value of a model."""
    if isinstance(value, Written):
        return value.value if value.stands_for is None else value.stands_for
    if isinstance(value, WrittenRecord):
        return to_record(value)
    if isinstance(value, list):
        return tuple(core(part) for part in value)
    if isinstance(value, dict):
        return {key: core(part) for key, part in value.items()}
    return value


def to_record(model: WrittenRecord, defaults: object = None) -> Any:
    """The record; what the club did not write comes from ``defaults``, or the record's own."""
    values = {name: core(getattr(model, name)) for name in model.model_fields_set}
    if defaults is not None:
        return replace(defaults, **values)  # type: ignore[type-var]
    return model.record(**values)


def figures_of(
    model: WrittenRecord, path: Path = (), defaults: object = None
) -> Iterator[tuple[Path, Written, bool]]:
    """Every figure with its path, and whether the club wrote it; defaults are assumed."""
    for slot in slots_of(model.record).values():
        here = (*path, slot.key)
        if slot.attribute in model.model_fields_set:
            yield from figures_in(getattr(model, slot.attribute), here)
        elif slot.is_figure:
            default = getattr(defaults, slot.attribute) if defaults is not None else slot.default
            parts = default.items() if isinstance(default, Mapping) else [("", default)]
            for key, part in parts:
                if (assumed := _assumed(part, slot.quantity or NUMBER)) is not None:
                    yield (*here, key) if key else here, assumed, False


def _assumed(default: object, quantity: Quantity) -> Written | None:
    value = default.value_kg_l if isinstance(default, Ratio) else default
    if not isinstance(value, float):
        return None
    return Written(value, "kg/L" if isinstance(default, Ratio) else quantity.unit, "assumed")


def figures_in(value: object, path: Path) -> Iterator[tuple[Path, Written, bool]]:
    """The figures that a written value holds."""
    if isinstance(value, Written):
        yield path, value, True
    elif isinstance(value, WrittenRecord):
        yield from figures_of(value, path)
    elif isinstance(value, list):
        for number, part in enumerate(value):
            yield from figures_in(part, (*path, number))
    elif isinstance(value, dict):
        for key, part in value.items():
            yield from figures_in(part, (*path, key))
