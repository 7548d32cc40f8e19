"""Units of text from outside: one closed table of spellings, converted by pint.

This is the only module that imports pint, and pint never parses text that comes from outside: a
pattern of our own takes one finite number and one spelling, the spelling is looked up in
:data:`SPELLINGS`, and pint converts.
"""

import re
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from waterkit.errors import FieldError
from waterkit.quantities import Quantity

if TYPE_CHECKING:
    from waterkit.quantities import Numeric


@contextmanager
def _hidden(library: str) -> Iterator[None]:
    """Keep a library from being loaded by another that would work without it."""
    if library in sys.modules:
        yield
        return
    sys.modules[library] = None  # type: ignore[assignment]  # makes its import fail
    try:
        yield
    finally:
        del sys.modules[library]


with _hidden("scipy"):  # pint loads it for a choice of preferred units that nobody makes here
    import pint


class UnitError(FieldError):
    """Text that is not one number with one known unit; ``hint`` says how to mend it."""


@dataclass(frozen=True, slots=True)
class Spelling:
    """One way to write a unit: the pint unit it names, and the substance it implies, if any."""

    text: str
    unit: str
    implies: str = ""


# fmt: off
_TABLE = """
1               one
%               percent
ppm             parts_per_million
umol/mol        parts_per_million
%/degC          percent/kelvin
%/K             percent/kelvin
%/degF          percent/difference_Fahrenheit
mm              millimetre
cm              centimetre
m               metre
in              inch
ft              foot
yd              yard
m2              metre**2
ft2             foot**2
yd2             yard**2
m3              metre**3
L               litre
l               litre
mL              millilitre
ml              millilitre
US gal          us_gallon
imp gal         imperial_gallon
US fl oz        us_fluid_ounce
ft3             foot**3
mg              milligram
g               gram
kg              kilogram
t               tonne
lb              pound
oz              ounce
degC            degree_Celsius
°C              degree_Celsius
degF            degree_Fahrenheit
°F              degree_Fahrenheit
K               kelvin
s               second
min             minute
h               hour
d               day
days            day
week            week
weeks           week
month           month
months          month
working days    working_day
working day     working_day
seasons         season
NTU             turbidity_unit
FNU             turbidity_unit
season          season
m/s             metre/second
km/h            kilometre/hour
ft/s            foot/second
ft/min          foot/minute
L/h             litre/hour
L/min           litre/minute
L/s             litre/second
m3/h            metre**3/hour
m3/d            metre**3/day
L/d             litre/day
US gal/min      us_gallon/minute
US gal/h        us_gallon/hour
US gal/d        us_gallon/day
imp gal/min     imperial_gallon/minute
imp gal/h       imperial_gallon/hour
imp gal/d       imperial_gallon/day
W               watt
kW              kilowatt
ton             refrigeration_ton
Btu/h           btu/hour
kJ/L            kilojoule/litre
uS/cm           microsiemens/centimetre
µS/cm           microsiemens/centimetre
mS/cm           millisiemens/centimetre
mS/m            millisiemens/metre
S/m             siemens/metre
umho/cm         microsiemens/centimetre
S cm2/eq        siemens*centimetre**2/equivalent
ug/L            microgram/litre
ug/l            microgram/litre
µg/L            microgram/litre
mg/L            milligram/litre
mg/l            milligram/litre
g/L             gram/litre
g/m3            gram/metre**3
kg/m3           kilogram/metre**3
kg/L            kilogram/litre
g/mL            gram/millilitre
g/cm3           gram/centimetre**3
lb/US gal       pound/us_gallon
lb/imp gal      pound/imperial_gallon
lb/ft3          pound/foot**3
gr/US gal       grain/us_gallon
gr/imp gal      grain/imperial_gallon
kgr/ft3         kilograin/foot**3        CaCO3
degdH           10*milligram/litre       CaO
°dH             10*milligram/litre       CaO
degfH           10*milligram/litre       CaCO3
°fH             10*milligram/litre       CaCO3
umol/L          micromole/litre
umol/l          micromole/litre
mmol/L          millimole/litre
mmol/l          millimole/litre
mol/L           mole/litre
g/mol           gram/mole
ueq/L           microequivalent/litre
meq/L           milliequivalent/litre
meq/l           milliequivalent/litre
eq/L            equivalent/litre
meq/mL          milliequivalent/millilitre
eq              equivalent
L/m2            litre/metre**2
mL/m2           millilitre/metre**2
US gal/ft2      us_gallon/foot**2
g/m2            gram/metre**2
oz/ft2          ounce/foot**2
m2/g            metre**2/gram
mg/m3           milligram/metre**3
"""
# fmt: on

SPELLINGS: dict[str, Spelling] = {}
for _line in _TABLE.strip().splitlines():
    _words = re.split(r"\s{2,}", _line.strip())
    SPELLINGS[_words[0]] = Spelling(*_words)

_AMBIGUOUS = {
    "gal": "write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gallon": "write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gallons": "write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gpm": "write 'US gal/min' or 'imp gal/min'",
    "gpg": "write 'gr/US gal' or 'gr/imp gal', and in the column 'as' what it is counted as",
    "gr": "a grain needs its volume: write 'gr/US gal', 'gr/imp gal' or 'kgr/ft3'",
    "grains": "a grain needs its volume: write 'gr/US gal', 'gr/imp gal' or 'kgr/ft3'",
    "gr/gal": "write 'gr/US gal' or 'gr/imp gal'",
    "dH": "write 'degdH'",
    "fH": "write 'degfH'",
}

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?")
_GROUPED = re.compile(
    r"[+-]?\d{1,3}(?:[ '\u00a0\u202f’,]\d{3})+(?:\.\d+)?|[+-]?\d{1,3}(?:\.\d{3}){2,}"
)
_COMMA = re.compile(r"[+-]?\d+,\d+")
_LEADING_NUMBER = re.compile(
    r"[+-]?[\d.,'’\u00a0\u202f]*\d(?:[ ,.]\d+)*(?:[eE][+-]?\d+)?|[+-]?\.?\d+"
)


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[Any]":
    with resources.as_file(resources.files("waterkit") / "units.txt") as path:
        return pint.UnitRegistry(str(path), autoconvert_offset_to_baseunit=True)


@lru_cache(maxsize=256)
def _unit(expression: str) -> Any:
    factor, star, rest = expression.partition("*")
    if star and factor.isdigit():
        return int(factor) * _registry()(rest)
    return _registry().Quantity(1, expression)


def _dimension(spelling: str) -> Any:
    return _unit(SPELLINGS[spelling].unit).dimensionality


def parse_number(text: str) -> float:
    """One finite number written with a decimal point.

    Raises
    ------
    UnitError
        For anything else; decimal commas and thousands marks are named as such.
    """
    text = text.strip()
    if _NUMBER.fullmatch(text):
        number = float(text)
        if abs(number) == float("inf"):
            raise UnitError(f"{text!r} is too large a number", "check the digits")
        return number
    if _GROUPED.fullmatch(text):
        raise UnitError(
            f"{text!r} has a thousands mark or a decimal comma",
            "write the number without a thousands mark, with a decimal point: 1500 or 1.5",
        )
    if _COMMA.fullmatch(text):
        raise UnitError(f"{text!r} has a decimal comma", "write it with a decimal point")
    raise UnitError(f"{text!r} is not a number", "write digits, with a decimal point if needed")


def check_spelling(text: str) -> str:
    """A unit spelling of the closed table, without surrounding blanks.

    Raises
    ------
    UnitError
        For an unknown or ambiguous spelling; the hint names what to write instead.
    """
    text = " ".join(text.split())
    if text in SPELLINGS:
        return text
    if text in _AMBIGUOUS:
        raise UnitError(f"unit {text!r} can mean more than one thing", _AMBIGUOUS[text])
    near = get_close_matches(text, SPELLINGS, n=3, cutoff=0.6)
    hint = f"did you mean {' or '.join(repr(name) for name in near)}?" if near else ""
    raise UnitError(f"unknown unit {text!r}", hint or "docs/nomenclature.md lists the units")


def is_ambiguous(text: str) -> bool:
    """Whether a text is the name of more than one unit."""
    return " ".join(text.split()) in _AMBIGUOUS


def split_number(text: str) -> tuple[str, str]:
    """The number and the unit of a text such as ``1500 L``; either may be empty."""
    text = text.strip()
    match = _LEADING_NUMBER.match(text)
    if match is None:
        return ("", text)
    return (match.group(0), _plain(text[match.end() :].strip()))


def _plain(unit: str) -> str:
    """A unit with the signs of the table, whichever of their look-alikes was typed."""
    if unit.isascii() or unit in SPELLINGS:
        return unit
    return unicodedata.normalize("NFKC", unit).replace("\u03bc", "\u00b5")


def same_kind(spelling: str, other: str) -> bool:
    """Whether two spellings of the table measure the same kind of quantity."""
    return bool(_dimension(spelling) == _dimension(other))


def is_mass(text: str) -> bool:
    """Whether a text is a unit that counts mass."""
    return text in SPELLINGS and same_kind(text, "kg")


def convert(value: "Numeric", spelling: str, to: str) -> "Numeric":
    """Convert a value or an array of values from one spelling of the table to another.

    Raises
    ------
    UnitError
        If the two units do not measure the same kind of quantity.
    """
    if spelling == to:
        return value
    source, target = _unit(SPELLINGS[spelling].unit), _unit(SPELLINGS[to].unit)
    if source.dimensionality != target.dimensionality:
        raise UnitError(f"{spelling!r} cannot be turned into {to!r}")
    registry = _registry()
    scale = source.magnitude if source.magnitude != 1 else 1
    converted = registry.Quantity(value * scale, source.units).to(target.units).magnitude
    return converted if target.magnitude == 1 else converted / target.magnitude


def to_core(value: "Numeric", spelling: str, quantity: Quantity) -> "Numeric":
    """Convert a value with its unit into the core unit of a quantity of the register.

    Raises
    ------
    UnitError
        If the unit does not fit the quantity; the hint names units that do.
    """
    if not same_kind(spelling, quantity.unit):
        raise UnitError(
            f"{spelling!r} is not a unit of {quantity.name}", f"write it in {units_of(quantity)}"
        )
    return convert(value, spelling, quantity.unit)


def units_of(quantity: Quantity) -> str:
    """Some spellings that fit a quantity, for a hint: the core unit first."""
    fitting = [text for text in SPELLINGS if same_kind(text, quantity.unit) and text != "1"]
    ordered = sorted(fitting, key=lambda text: (text != quantity.unit, fitting.index(text)))
    return ", ".join(ordered[:4])
