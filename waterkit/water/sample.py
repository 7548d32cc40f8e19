"""One sample of water: the rows of a laboratory's sheet, read and gathered."""

import datetime as dt
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Literal

from waterkit.errors import FieldError
from waterkit.quantities import (
    AMOUNT_CONCENTRATION,
    CONDUCTIVITY,
    EQUIVALENTS,
    MASS_CONCENTRATION,
    PH,
    TEMPERATURE,
    Quantity,
)  # fmt: skip
from waterkit.units import (
    SPELLINGS,
    UnitError,
    check_spelling,
    convert,
    parse_number,
    same_kind,
    split_number,
)  # fmt: skip
from waterkit.water.ions import (
    CACO3_EQUIVALENT_G,
    CACO3_G_MOL,
    SPECIES,
    counted_as,
    find_analyte,
    find_basis,
    mg_per_mmol,
    to_mmol_l,
)  # fmt: skip
from waterkit.water.meter import natural_water_factor
from waterkit.water.written import RANGE, read_value
from waterkit.working import Note

Point = Literal["feed", "softened", "permeate", "lead outlet", "DI outlet", "tank", "hose end"]

NEEDS_BASIS = ("alkalinity", "hardness", "SiO2")
TURBIDITY_UNITS = ("NTU", "FNU", "FTU")
_USUAL_PH = (3.0, 12.5)
_WATER_C = (-1.0, 100.0)
_25_C = 25.0

# Grams of a basis that stand for one equivalent of alkalinity or hardness.
_G_PER_EQ = {
    "CaCO3": CACO3_EQUIVALENT_G,
    "CaO": mg_per_mmol("Ca", "CaO") / 2,
    "HCO3": SPECIES["HCO3"].molar_mass_g_mol,
    "CO3": SPECIES["CO3"].molar_mass_g_mol / 2,
    "Ca": SPECIES["Ca"].molar_mass_g_mol / 2,
}
_ALKALINITY_BASES = ("CaCO3", "HCO3", "CaO", "CO3")
_HARDNESS_BASES = ("CaCO3", "CaO", "Ca")


@dataclass(frozen=True, slots=True)
class WaterTest:
    """One row of water-tests.csv as written: one analyte of one sample."""

    sample: str
    date: dt.date
    analyte: str
    value: str
    source: str = ""
    point: Point = "feed"
    unit: str = ""
    as_: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Result:
    """One analyte in its core unit.

    ``value`` is mmol/L for a species, meq/L for alkalinity, mg/L as CaCO3 for hardness, uS/cm at
    25 degC for conductivity, degC for temperature, mg/L for anything else but pH and turbidity.
    ``ends`` holds the least and the most where the sheet tells a range.
    """

    analyte: str
    value: float
    below_detection: bool = False
    notes: tuple[Note, ...] = ()
    ends: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Sample:
    """What was measured in one sample, in core units; nothing is completed here.

    Parameters
    ----------
    mmol_l : mapping of species to float
        Measured species [mmol/L].
    alkalinity_meq_l : float or None
        Measured alkalinity [meq/L].
    hardness_mg_l_caco3 : float or None
        Measured hardness as CaCO3 [mg/L].
    ph : float or None
        pH [1].
    temperature_c : float or None
        Temperature at which the sample was taken [degC].
    conductivity_us_cm : float or None
        Conductivity at 25 degC [uS/cm].
    tds_mg_l : float or None
        Measured dissolved solids [mg/L].
    others : mapping of analyte to float
        What is neither: chlorine, TOC [mg/L], turbidity (NTU).
    ranges : mapping of analyte to two floats
        Least and most of what the sheet tells as a range, in the unit of its value.
    """

    sample: str
    source: str
    date: dt.date
    point: Point
    mmol_l: Mapping[str, float]
    alkalinity_meq_l: Annotated[float, EQUIVALENTS] | None = None
    hardness_mg_l_caco3: Annotated[float, MASS_CONCENTRATION] | None = None
    ph: Annotated[float, PH] | None = None
    temperature_c: Annotated[float, TEMPERATURE] | None = None
    conductivity_us_cm: Annotated[float, CONDUCTIVITY] | None = None
    tds_mg_l: Annotated[float, MASS_CONCENTRATION] | None = None
    others: Mapping[str, float] = field(default_factory=dict)
    below_detection: frozenset[str] = frozenset()
    notes: tuple[Note, ...] = ()
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def gather(
    sample: str, source: str, date: dt.date, point: Point, results: Iterable[Result]
) -> Sample:
    """Put the results of one sample together.

    Raises
    ------
    FieldError
        If an analyte was given twice.
    """
    found: dict[str, Result] = {}
    for result in results:
        if result.analyte in found:
            message = f"sample {sample!r} has {_called(result.analyte)} twice"
            raise FieldError(message, "leave one of the two rows out", "analyte")
        found[result.analyte] = result
    values = {key: result.value for key, result in found.items()}
    return Sample(
        sample,
        source,
        date,
        point,
        {key: values.pop(key) for key in SPECIES if key in values},
        values.pop("alkalinity", None),
        values.pop("hardness", None),
        values.pop("pH", None),
        values.pop("temperature", None),
        values.pop("conductivity", None),
        values.pop("TDS", None),
        values,
        frozenset(key for key, result in found.items() if result.below_detection),
        tuple(note for result in found.values() for note in result.notes),
        {key: result.ends for key, result in found.items() if result.ends is not None},
    )


def measure(row: WaterTest) -> Result:
    """Read one row: its number, its unit, and what it is counted as.

    A value written ``<0.05`` is below detection: half of it is taken, and a note says so. Of a
    range, ``18-24`` or ``18 to 24``, the middle is taken, and its ends are kept.

    Parameters
    ----------
    row : WaterTest
        The row as written.

    Returns
    -------
    Result
        The analyte in its core unit.

    Raises
    ------
    FieldError
        If analyte, value, unit or basis cannot be used; the hint says how to mend it.

    References
    ----------
    Half the detection limit: common practice, no source.
    """
    key = find_analyte(row.analyte)
    if ends := RANGE.fullmatch(row.value.strip()):
        return _middle(row, *ends.groups())
    number, below = read_value(row.value, key, _called(key))
    value, notes = _READERS.get(key, _species if key in SPECIES else _mass)(key, number, row)
    if below:
        limit = {"analyte": _called(key), "limit": number * 2.0, "unit": row.unit}
        notes = (Note("below-detection", limit), *notes)
    return Result(key, value, below, notes)


def _middle(row: WaterTest, low: str, high: str) -> Result:
    """The middle of a range that a yearly table tells, with both ends kept."""
    least, most = (measure(replace(row, value=end)) for end in (low, high))
    if most.value < least.value:
        raise FieldError(f"{row.value!r} is a range upside down", "write the least first", "value")
    told = {"analyte": _called(least.analyte), "range": f"{row.value.strip()} {row.unit}".strip()}
    more = tuple(note for note in most.notes if note not in least.notes)
    notes = (Note("range-told", told), *least.notes, *more)
    middle = (least.value + most.value) / 2.0
    return Result(least.analyte, middle, False, notes, (least.value, most.value))


Reading = tuple[float, tuple[Note, ...]]


def _called(key: str) -> str:
    return SPECIES[key].name if key in SPECIES else key


def _unit(row: WaterTest, example: str) -> str:
    if not row.unit.strip():
        raise FieldError(f"{row.analyte} has no unit", f"write it, for example {example}", "unit")
    try:
        unit = check_spelling(row.unit)
    except UnitError as error:
        raise FieldError(error.message, error.hint, "unit") from error
    if same_kind(unit, "ppm"):
        hint = "write mg/L, and in the column 'as' what it is counted as"
        raise FieldError(f"{unit!r} does not say parts of what", hint, "unit")
    return unit


def _converted(row: WaterTest, value: float, unit: str, quantity: Quantity) -> float:
    """A value in the core unit of its quantity, refused where no water holds so much."""
    if not same_kind(unit, quantity.unit):
        hint = f"write it in {quantity.unit}"
        raise FieldError(f"{unit!r} is not a unit of {row.analyte}", hint, "unit")
    core = float(convert(value, unit, quantity.unit))
    if core > quantity.high:
        hint = "check the number and its unit"
        message = f"{value:g} {unit} of {row.analyte} is more than water holds"
        raise FieldError(message, hint, "value")
    return core


def _basis(row: WaterTest, unit: str) -> str:
    """What the value is counted as: the column ``as``, or what the unit implies."""
    written, implied = find_basis(row.as_), SPELLINGS[unit].implies
    if written and implied and written != implied:
        hint = f"leave the column 'as' empty: {unit} always counts {implied}"
        raise FieldError(f"{unit!r} is counted as {implied}, not as {written}", hint, "as")
    return written or implied


def _species(key: str, number: float, row: WaterTest) -> Reading:
    unit = _unit(row, "mg/L")
    basis = _basis(row, unit)
    if same_kind(unit, EQUIVALENTS.unit):
        charge = abs(SPECIES[key].charge)
        if not charge:
            raise FieldError(f"{_called(key)} has no charge", "write it in mg/L or mmol/L", "unit")
        return _converted(row, number, unit, EQUIVALENTS) / charge, ()
    if same_kind(unit, "mmol/L"):
        return _converted(row, number, unit, AMOUNT_CONCENTRATION) * counted_as(key, basis)[1], ()
    if key in NEEDS_BASIS and not basis:
        raise _basis_missing(row, ("SiO2", "Si", "CaCO3"))
    mass = _converted(row, number, unit, MASS_CONCENTRATION)
    return float(to_mmol_l(mass, key, basis)), ()


def _basis_missing(row: WaterTest, bases: tuple[str, ...]) -> FieldError:
    hint = f"write in the column 'as' one of: {', '.join(bases)}"
    return FieldError(f"{row.analyte} does not say what it is counted as", hint, "as")


def _equivalents(row: WaterTest, number: float, bases: tuple[str, ...]) -> float:
    """Alkalinity or hardness in meq/L, from a mass counted as one of ``bases``."""
    unit = _unit(row, "mg/L as CaCO3")
    if same_kind(unit, EQUIVALENTS.unit):
        return _converted(row, number, unit, EQUIVALENTS)
    basis = _basis(row, unit)
    if not basis:
        raise _basis_missing(row, bases)
    if basis not in bases:
        hint = f"write in the column 'as' one of: {', '.join(bases)}"
        raise FieldError(f"{row.analyte} cannot be counted as {basis}", hint, "as")
    return _converted(row, number, unit, MASS_CONCENTRATION) / _G_PER_EQ[basis]


def _alkalinity(_key: str, number: float, row: WaterTest) -> Reading:
    unit = _unit(row, "mg/L as CaCO3")
    if same_kind(unit, "mmol/L"):
        amount = _converted(row, number, unit, AMOUNT_CONCENTRATION)
        if _basis(row, unit) in ("CaCO3", "CaO", "CO3"):
            return 2.0 * amount, ()
        return amount, (Note("alkalinity-as-acid-capacity", {"mmol_l": amount}),)
    return _equivalents(row, number, _ALKALINITY_BASES), ()


def _hardness(_key: str, number: float, row: WaterTest) -> Reading:
    unit = _unit(row, "mg/L as CaCO3")
    if same_kind(unit, "mmol/L"):
        return CACO3_G_MOL * _converted(row, number, unit, AMOUNT_CONCENTRATION), ()
    return CACO3_EQUIVALENT_G * _equivalents(row, number, _HARDNESS_BASES), ()


def _ph(_key: str, number: float, row: WaterTest) -> Reading:
    if row.unit.strip():
        raise FieldError("pH has no unit", "leave the column 'unit' empty", "unit")
    if not _USUAL_PH[0] <= number <= _USUAL_PH[1]:
        hint = "a supply lies between 3 and 12.5: is a decimal point missing, or another analyte?"
        raise FieldError(f"{number:g} is no pH of such water", hint, "value")
    return number, ()


def _conductivity(_key: str, number: float, row: WaterTest) -> Reading:
    value = _converted(row, number, _unit(row, "uS/cm"), CONDUCTIVITY)
    if not row.as_.strip():
        return value, (Note("conductivity-reference-assumed", {"reference_c": _25_C}),)
    reference = _reference_c(row.as_)
    if reference == _25_C:
        return value, ()
    factor = float(natural_water_factor(reference))
    return value * factor, (
        Note("conductivity-turned-to-25-degC", {"reference_c": reference, "factor": factor}),
    )


def _reference_c(text: str) -> float:
    number, unit = split_number(text)
    try:
        reference = float(convert(parse_number(number), check_spelling(unit), "degC"))
        factor = float(natural_water_factor(reference))
    except UnitError as error:
        raise FieldError(f"{text!r} is no reference temperature", _REFERENCE, "as") from error
    if math.isnan(factor):
        raise FieldError(f"{text!r} lies outside 0 to 35 degC", _REFERENCE, "as")
    return round(reference, 6)


_REFERENCE = "write '25 degC' or '20 degC', as the sheet says"


def _temperature(_key: str, number: float, row: WaterTest) -> Reading:
    unit = _unit(row, "degC")
    if not same_kind(unit, TEMPERATURE.unit):
        raise FieldError(f"{unit!r} is not a unit of temperature", "write it in degC", "unit")
    value = float(convert(number, unit, TEMPERATURE.unit))
    if not _WATER_C[0] <= value <= _WATER_C[1]:
        raise FieldError(f"{value:g} degC is no temperature of water", "check the unit", "value")
    return value, ()


def _turbidity(_key: str, number: float, row: WaterTest) -> Reading:
    if row.unit.strip() not in TURBIDITY_UNITS:
        hint = f"write {' or '.join(TURBIDITY_UNITS)}"
        raise FieldError(f"{row.unit!r} is not a unit of turbidity", hint, "unit")
    return number, ()


def _mass(_key: str, number: float, row: WaterTest) -> Reading:
    return _converted(row, number, _unit(row, "mg/L"), MASS_CONCENTRATION), ()


_READERS: dict[str, Callable[[str, float, WaterTest], Reading]] = {
    "pH": _ph,
    "alkalinity": _alkalinity,
    "hardness": _hardness,
    "conductivity": _conductivity,
    "temperature": _temperature,
    "turbidity": _turbidity,
}
