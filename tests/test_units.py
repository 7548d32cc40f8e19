"""Units against the factors of NIST SP 811, and against two general-purpose libraries."""

import math
import re
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from waterkit import units
from waterkit.quantities import (
    CAPACITY,
    CONDUCTIVITY,
    EQUIVALENTS,
    MASS_CONCENTRATION,
    TEMPERATURE,
    VOLUME,
)

SPELLINGS = sorted(units.SPELLINGS)

# NIST Special Publication 811 (2008), Guide for the Use of the International System of Units,
# appendix B.8, factors as printed there (from memory; each also follows from exact definitions).
NIST = [
    ("US gal", "L", "3.785412"),
    ("imp gal", "L", "4.54609"),
    ("US fl oz", "mL", "29.57353"),
    ("ft3", "L", "28.31685"),
    ("gr/US gal", "mg/L", "17.11806"),
    ("lb/US gal", "kg/m3", "119.8264"),
    ("lb/imp gal", "kg/m3", "99.77637"),
    ("lb/ft3", "kg/m3", "16.01846"),
    ("lb", "kg", "0.4535924"),
    ("oz", "g", "28.34952"),
    ("in", "mm", "25.4"),
    ("ft", "m", "0.3048"),
    ("yd", "m", "0.9144"),
    ("ft2", "m2", "0.09290304"),
    ("yd2", "m2", "0.8361274"),
    ("ft/min", "m/s", "0.00508"),
    ("km/h", "m/s", "0.2777778"),
    ("US gal/min", "L/s", "0.06309020"),
    ("Btu/h", "W", "0.2930711"),
    ("ton", "W", "3516.853"),
]


def _half_last_digit(printed: str) -> float:
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


@pytest.mark.parametrize(("source", "target", "printed"), NIST)
def test_factors_of_the_guide(source: str, target: str, printed: str) -> None:
    assert units.convert(1.0, source, target) == pytest.approx(
        float(printed), rel=1e-12, abs=_half_last_digit(printed)
    )


@pytest.mark.parametrize(
    ("source", "target", "factor"),
    [
        ("US gal", "L", constants.gallon * 1000),
        ("imp gal", "L", constants.gallon_imp * 1000),
        ("US fl oz", "L", constants.fluid_ounce * 1000),
        ("lb", "kg", constants.pound),
        ("oz", "kg", constants.oz),
        ("kgr/ft3", "g/L", constants.grain * 1e3 / constants.foot**3),
        ("gr/imp gal", "mg/L", constants.grain * 1e3 / constants.gallon_imp),
        ("Btu/h", "W", constants.Btu / constants.hour),
        ("ton", "W", 12000 * constants.Btu / constants.hour),
    ],
)
def test_factors_of_scipy(source: str, target: str, factor: float) -> None:
    assert units.convert(1.0, source, target) == pytest.approx(factor, rel=1e-9)


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"), [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (5.0, 41.0)]
)
def test_temperatures(celsius: float, fahrenheit: float) -> None:
    assert units.convert(celsius, "degC", "degF") == pytest.approx(fahrenheit, abs=1e-9)
    assert units.convert(fahrenheit, "°F", "°C") == pytest.approx(celsius, abs=1e-9)
    assert units.convert(celsius, "degC", "K") == pytest.approx(celsius + 273.15)


def test_hardness_degrees() -> None:
    # DIN 38409-6: one German degree is 10 mg/L of CaO; the French one is 10 mg/L of CaCO3
    # (from memory).
    assert units.convert(1.0, "degdH", "mg/L") == pytest.approx(10.0)
    assert units.SPELLINGS["degdH"].implies == "CaO"
    assert units.convert(15.0, "mg/L", "degfH") == pytest.approx(1.5)
    assert units.SPELLINGS["degfH"].implies == "CaCO3"


# What the default registry of pint calls a unit of ours that has another name there.
DEFAULT_NAMES = {
    "one": "dimensionless", "us_gallon": "gallon", "us_fluid_ounce": "fluid_ounce",
    "parts_per_million": "ppm", "difference_Fahrenheit": "delta_degree_Fahrenheit",
    "btu": "Btu_it",
}  # fmt: skip
NOT_IN_PINT = ("equivalent", "working_day", "season", "turbidity_unit")
CORE_UNITS = (
    "1", "%/degC", "mm", "m2", "L", "kg", "K", "h", "m/s", "L/h", "kW", "kJ/L", "S/m", "mg/L",
    "mol/L", "g/mol", "L/m2", "g/m2", "m2/g",
)  # fmt: skip
SHARED = [
    spelling
    for spelling, entry in sorted(units.SPELLINGS.items())
    if not any(name in entry.unit for name in NOT_IN_PINT)
    and entry.unit != "month"  # a twelfth of the Gregorian mean year here, of the Julian one there
]


@pytest.fixture(scope="module")
def default_pint() -> Any:
    return pint.UnitRegistry(autoconvert_offset_to_baseunit=True)


def _in_default_names(spelling: str) -> tuple[float, str]:
    """The factor and the expression of a spelling, for the default registry of pint."""
    expression = units.SPELLINGS[spelling].unit
    for ours, theirs in DEFAULT_NAMES.items():
        expression = re.sub(rf"\b{ours}\b", theirs, expression)
    factor, star, rest = expression.partition("*")
    return (float(factor), rest) if star and factor.isdigit() else (1.0, expression)


@pytest.mark.parametrize("spelling", SHARED)
def test_our_registry_agrees_with_the_default_one_of_pint(spelling: str, default_pint: Any) -> None:
    core = next(text for text in CORE_UNITS if units.same_kind(spelling, text))
    factor, unit = _in_default_names(spelling)
    expected = default_pint.Quantity(factor, unit).to(_in_default_names(core)[1]).magnitude
    assert units.convert(1.0, spelling, core) == pytest.approx(expected, rel=1e-6)


def test_a_month_is_a_twelfth_of_the_mean_year_of_the_calendar() -> None:
    # 400 years of the Gregorian calendar have 146 097 days.
    assert units.convert(4800.0, "month", "d") == pytest.approx(146_097)


@pytest.mark.parametrize("text", SPELLINGS)
@settings(max_examples=10)
@given(value=st.floats(1e-6, 1e6))
def test_there_and_back(text: str, value: float) -> None:
    other = next(other for other in reversed(SPELLINGS) if units.same_kind(text, other))
    there = units.convert(value, text, other)
    assert units.convert(there, other, text) == pytest.approx(value, rel=1e-9, abs=1e-9)


def test_arrays_are_converted_in_one_go_and_left_alone() -> None:
    values = np.array([1.0, 2.0, 3.0])
    converted = units.convert(values, "mS/m", "uS/cm")
    assert converted == pytest.approx([10.0, 20.0, 30.0])
    assert values == pytest.approx([1.0, 2.0, 3.0])


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e300, max_value=1e300))
def test_a_number_is_read_as_python_writes_it(number: float) -> None:
    assert units.parse_number(repr(number)) == number


@pytest.mark.parametrize(
    "text",
    ["", "nan", "inf", "1,5", "1 500", "1.500.000", "12,345.6", "1'500", "1e400", "9**9", "0x10",
     "1_000", "--1", "1.2.3", "twelve", "½", "9" * 400],
)  # fmt: skip
def test_no_other_text_is_a_number(text: str) -> None:
    with pytest.raises(units.UnitError) as caught:
        units.parse_number(text)
    assert caught.value.hint


@given(st.text(max_size=30))
def test_any_text_is_a_finite_number_or_an_error_with_a_cure(text: str) -> None:
    try:
        number = units.parse_number(text)
    except units.UnitError as error:
        number = 0.0 if error.hint else math.nan
    assert math.isfinite(number)


@pytest.mark.parametrize(
    ("text", "number", "unit"),
    [
        ("1500 L", "1500", "L"),
        ("1 500 L", "1 500", "L"),
        ("1,5 L", "1,5", "L"),
        ("-7 degC", "-7", "degC"),
        ("5uS/cm", "5", "uS/cm"),
        (".5 mm", ".5", "mm"),
        ("1e3 L", "1e3", "L"),
        ("300 US gal", "300", "US gal"),
        ("0.1 kg/L water", "0.1", "kg/L water"),
        ("US gal", "", "US gal"),
        ("12", "12", ""),
        ("", "", ""),
    ],
)
def test_split_number(text: str, number: str, unit: str) -> None:
    assert units.split_number(text) == (number, unit)


@given(st.text(max_size=60))
def test_splitting_loses_nothing_but_blanks(text: str) -> None:
    number, unit = units.split_number(text)
    assert "".join((number + unit).split()) == "".join(text.split())


@pytest.mark.parametrize(
    ("text", "cure"),
    [
        ("gal", "US gal"),
        ("gpg", "gr/US gal"),
        ("grains", "gr/US gal"),
        ("us/cm", "uS/cm"),
        ("mgL", "mg/L"),
        ("furlong per fortnight", "docs/nomenclature.md"),
    ],
)
def test_an_unknown_or_ambiguous_spelling_names_what_to_write(text: str, cure: str) -> None:
    with pytest.raises(units.UnitError) as caught:
        units.check_spelling(text)
    assert cure in caught.value.hint


def test_blanks_in_a_spelling_do_not_matter() -> None:
    assert units.check_spelling("  US   gal ") == "US gal"


@pytest.mark.parametrize(
    ("source", "target"),
    [("mg/L", "meq/L"), ("mmol/L", "meq/L"), ("mg/L", "mmol/L"), ("ppm", "mg/L"), ("L", "kg")],
)
def test_what_takes_chemistry_is_refused(source: str, target: str) -> None:
    assert not units.same_kind(source, target)
    with pytest.raises(units.UnitError):
        units.convert(1.0, source, target)


def test_core_units() -> None:
    assert units.to_core(1.5, "m3", VOLUME) == pytest.approx(1500.0)
    assert units.to_core(41.0, "degF", TEMPERATURE) == pytest.approx(5.0)
    assert units.to_core(1.0, "mS/cm", CONDUCTIVITY) == pytest.approx(1000.0)
    assert units.to_core(1.0, "eq/L", EQUIVALENTS) == pytest.approx(1000.0)


@pytest.mark.parametrize(
    ("spelling", "quantity", "cure"),
    [("kg", VOLUME, "L"), ("ppm", MASS_CONCENTRATION, "mg/L"), ("mg/L", CAPACITY, "eq/L")],
)
def test_a_unit_of_another_kind_names_units_that_fit(
    spelling: str, quantity: Any, cure: str
) -> None:
    with pytest.raises(units.UnitError) as caught:
        units.to_core(1.0, spelling, quantity)
    assert cure in caught.value.hint.replace(",", "").split()


def test_the_core_unit_is_the_first_that_a_hint_names() -> None:
    assert units.units_of(VOLUME).split(", ")[0] == "L"
