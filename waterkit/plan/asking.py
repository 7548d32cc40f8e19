"""What somebody types at the tank, read: everything wrong with it is told at once."""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, get_args

from waterkit.club.schema import Club
from waterkit.errors import FieldError, InputError, Problem
from waterkit.plan.at_tank import Asked, AtTank, meter_of
from waterkit.plan.lately import shown_us_cm_of
from waterkit.quantities import CONDUCTIVITY, TEMPERATURE, VOLUME, Quantity
from waterkit.tank.case import POINTS, SEEN, Unit
from waterkit.units import check_spelling, parse_number, split_number, to_core, units_of
from waterkit.water.limits import USES
from waterkit.water.meter import Meter
from waterkit.water.readings import ReadingPoint

COMMAND = "waterkit tank"
_DISSOLVED = ("ppm", "mg/L", "mg/l")
"""What a meter for dissolved solids writes behind its number."""
_EXAMPLES = {"reading": "1.3 uS/cm", "temperature": "6 degC", "litres": "480 L", "total": "4900 L"}
HIGHEST_PPM = 100_000.0
_COMMA = re.compile(r"-?(?:0,\d+|\d+,(?:\d{1,2}|\d{4,}))")
"""A decimal comma that marks no thousands."""
_NO_NAME = "=+-@ \t"
"""What a name must not begin with: a spreadsheet would take it for a formula."""


def read_asked(club: Club, texts: Mapping[str, str | None], seen: tuple[str, ...] = ()) -> Asked:
    """What is asked, from the texts of the options.

    Raises
    ------
    InputError
        With everything that is wrong; each problem names its option.
    """
    problems: list[Problem] = []

    def told(name: str, read: Callable[[], Any]) -> Any:
        try:
            return read()
        except FieldError as error:
            problems.append(Problem(COMMAND, error.message, error.hint, field=f"--{name}"))
            return None

    meter = told("meter", lambda: meter_of(club, texts.get("meter")))
    shown = told("reading", lambda: _reading(texts.get("reading"), meter))
    temperature = told("temperature", lambda: _quantity("temperature", texts, TEMPERATURE))
    litres = told("litres", lambda: _quantity("litres", texts, VOLUME, needed=False))
    point = told("point", lambda: _word(texts.get("point") or "tank", POINTS, _elsewhere))
    use = told("use", lambda: _word(texts.get("use") or "flood", USES))
    what = told("seen", lambda: tuple(dict.fromkeys(_word(word, SEEN) for word in seen)))
    total = told("total", lambda: _quantity("total", texts, VOLUME, needed=False))
    if problems:
        raise InputError(problems)
    reading, unit = shown
    named = meter is not None and (texts.get("meter") or len(club.meters) == 1)
    return Asked(
        reading, unit, temperature, point, use, litres, meter.name if meter and named else None,
        what, total if texts.get("total") else None,
    )  # fmt: skip


def _reading(text: str | None, meter: Meter | None) -> tuple[float, Unit]:
    """The number on the display and its unit, ppm or uS/cm."""
    if text is None:
        raise FieldError("is missing", f'write what the meter shows: "{_EXAMPLES["reading"]}"')
    number, unit = split_number(text)
    if unit not in _DISSOLVED:
        return _in_unit(text, CONDUCTIVITY), "uS/cm"
    if meter is not None and not meter.factor:
        hint = "read it in uS/cm, or write its factor (0.5, 0.64, 0.7: its manual) as factor"
        raise FieldError(
            f"{text!r}: the factor of the {meter.name} is not known, so its ppm mean nothing",
            f"{hint} under [[meter]] in club.toml",
        )
    value = _number(number)
    _within(text, value, 0.0, HIGHEST_PPM, "ppm")
    return value, "ppm"


def _quantity(
    name: str, texts: Mapping[str, str | None], quantity: Quantity, needed: bool = True
) -> float:
    text = texts.get(name)
    if text is not None:
        return _in_unit(text, quantity)
    if needed:
        raise FieldError("is missing", f'write it with its unit: "{_EXAMPLES[name]}"')
    return 0.0


def _in_unit(text: str, quantity: Quantity) -> float:
    """A number with its unit, in the core unit of its quantity."""
    number, unit = split_number(text)
    value = _number(number or text)
    if not unit:
        others = ", ".join(one for one in units_of(quantity).split(", ") if one != quantity.unit)
        hint = f'write its unit: "{text.strip()} {quantity.unit}" (or {others})'
        raise FieldError(f"{text!r} has no unit", hint)
    core = float(to_core(value, check_spelling(unit), quantity))
    _within(text, core, quantity.low, quantity.high, quantity.unit)
    return core


def _number(text: str) -> float:
    """A number with a decimal point, or a comma that can mean nothing else."""
    return parse_number(text.replace(",", ".") if _COMMA.fullmatch(text.strip()) else text)


def _within(text: str, value: float, low: float, high: float, unit: str) -> None:
    if not low <= value <= high:
        hint = f"{low:g} to {high:g} {unit} can be; look at the digits and at the unit"
        raise FieldError(f"{text!r} cannot be", hint)


def _word(
    word: str, known: tuple[str, ...], hint: Callable[[str], Iterator[str]] | None = None
) -> str:
    plain = next((one for one in known if one.lower() == " ".join(word.lower().split())), None)
    if plain is not None:
        return plain
    more = "".join(hint(word) if hint else ())
    raise FieldError(f"{word!r} is not known here", f"write one of {', '.join(known)}{more}")


def _elsewhere(word: str) -> Iterator[str]:
    if word in get_args(ReadingPoint):
        yield "; readings of other points are written down with 'waterkit log reading'"


def log_row(found: AtTank, by: str | None) -> dict[str, object]:
    """The reading as a row of readings.csv; a meter's ppm are written as its uS/cm."""
    asked, meter = found.asked, found.meter
    if asked.unit == "ppm" and meter is None:
        hint = "write the meter and its factor under [[meter]] in club.toml, or read in uS/cm"
        message = "ppm of a meter that is not known cannot be written down"
        raise InputError([Problem(COMMAND, message, hint, field="--log")])
    shown = asked.reading if meter is None else shown_us_cm_of(asked.reading, asked.unit, meter)
    words = ", ".join(asked.seen)
    return {
        "time": found.moment.isoformat(timespec="minutes"),
        "point": asked.point,
        "conductivity": f"{shown:.6g} uS/cm",
        "temperature": f"{asked.temperature:.6g} degC",
        "meter": asked.meter or "",
        "treated total": "" if asked.total_l is None else f"{asked.total_l:.6g} L",
        "use": "" if asked.point == "DI outlet" else asked.use,
        "by": (by or "").strip().lstrip(_NO_NAME),
        "note": f"seen: {words}" if words else "",
    }
