"""Figures that carry their unit in the text: ``1500 L``, ``9 kgr/ft3``, ``0.1 kg/L water``."""

from waterkit.club.fields import Settings, Written, plain_number, read_figure, shown
from waterkit.errors import FieldError
from waterkit.ice.layers import Area
from waterkit.ice.paint import Ratio
from waterkit.quantities import (
    AREA,
    CONDUCTIVITY,
    MASS_CONCENTRATION,
    PAINT_RATIO,
    PERCENT,
    Quantity,
)
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.units import (
    SPELLINGS,
    UnitError,
    check_spelling,
    convert,
    parse_number,
    same_kind,
    split_number,
    to_core,
    units_of,
)
from waterkit.water.ions import equivalents_from_caco3

_AS_CACO3 = "as caco3"
_RATED_LITRES = "of rated litres"
_MARKS = 'write for example "5 uS/cm", "silica 0.5 mg/L" or "90 % of rated litres"'


def read_quantity(raw: object, quantity: Quantity) -> Written:
    """A figure with its unit; where the register says unit 1, a plain number."""
    return read_figure(raw, lambda part: (_in_core_unit(part, quantity), None), quantity)


def _in_core_unit(raw: object, quantity: Quantity) -> float:
    if quantity.unit == "1":
        return plain_number(raw)
    if not isinstance(raw, str):
        plain_number(raw)
        raise FieldError(f"{shown(raw)} has no unit", _example(raw, quantity))
    number, unit = split_number(raw)
    if not number:
        raise FieldError(f"{raw!r} is not a number", f"write a number in {_units(quantity)}")
    value = parse_number(number)
    if not unit:
        raise FieldError(f"{raw!r} has no unit", _example(raw, quantity))
    if quantity.as_caco3:
        return _capacity(value, unit, quantity)
    return float(to_core(value, check_spelling(unit), quantity))


def _units(quantity: Quantity) -> str:
    return "eq/L or kgr/ft3" if quantity.as_caco3 else units_of(quantity)


def _example(raw: object, quantity: Quantity) -> str:
    others = [unit for unit in units_of(quantity).split(", ") if unit != quantity.unit]
    rest = f" (or {', '.join(others)})" if others and quantity.unit != "%" else ""
    return f'write it as text with its unit: "{str(raw).strip()} {quantity.unit}"{rest}'


def _capacity(value: float, unit: str, quantity: Quantity) -> float:
    """Equivalents per litre, also from a mass of CaCO3 per volume of resin."""
    told = unit.lower().endswith(_AS_CACO3)
    spelling = check_spelling(unit[: -len(_AS_CACO3)] if told else unit)
    if not same_kind(spelling, MASS_CONCENTRATION.unit):
        if not same_kind(spelling, quantity.unit):
            message = f"{spelling!r} is not a unit of {quantity.name}"
            raise UnitError(message, f"write it in {_units(quantity)}")
        return float(to_core(value, spelling, quantity))
    if not told and SPELLINGS[spelling].implies != "CaCO3":
        hint = f'write it as equivalents in eq/L, or "{value:g} {spelling} as CaCO3"'
        raise UnitError(f"{spelling!r} does not say what the mass is counted as", hint)
    return float(equivalents_from_caco3(convert(value, spelling, "g/L")))


def read_ratio(raw: object, _: Settings) -> Written:
    """Powder per litre, with the word that tells whether of water or of mix."""
    return read_figure(raw, _ratio, PAINT_RATIO)


def _ratio(raw: object) -> tuple[float, object]:
    text, _, per = raw.strip().rpartition(" ") if isinstance(raw, str) else ("", "", "")
    if per not in ("water", "mix"):
        hint = 'write "0.1 kg/L water" or "0.1 kg/L mix", as the powder\'s own sheet means it'
        raise FieldError(f"{shown(raw)} does not say whether a litre of water or of mix", hint)
    value = _in_core_unit(text, PAINT_RATIO)
    return value, Ratio(value, "water" if per == "water" else "mix")


def read_area(raw: object, _: Settings) -> Area:
    """What a step covers: ``sheets``, ``floor`` or a figure such as ``120 m2``."""
    if raw in ("sheets", "floor"):
        return Area("sheets" if raw == "sheets" else "floor")
    try:
        return Area("figure", read_quantity(raw, AREA).value)
    except FieldError as error:
        hint = "write sheets, floor, or an area such as 120 m2"
        raise FieldError(error.message, hint) from error


def read_endpoint(raw: object, _: Settings) -> Endpoint:
    """A mark in a run: a conductivity, silica with its concentration, a share of rated litres."""
    if not isinstance(raw, str):
        raise FieldError(f"{shown(raw)} is no such mark", _MARKS)
    text = " ".join(raw.split())
    if text.lower().startswith("silica "):
        return Endpoint("silica", read_quantity(text[7:], MASS_CONCENTRATION).value)
    if text.endswith(_RATED_LITRES):
        return Endpoint("litres", read_quantity(text.removesuffix(_RATED_LITRES), PERCENT).value)
    try:
        return Endpoint("conductivity", read_quantity(text, CONDUCTIVITY).value)
    except FieldError as error:
        raise FieldError(error.message, _MARKS) from error
