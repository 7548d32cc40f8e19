"""One value of a club's file turned into its core value: quantities, money, dates, words.

Each reader takes what stands in the file (text of a cell, or a TOML value) and the settings of the
folder, and raises :class:`FieldError` with the cure.
"""

import datetime as dt
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from difflib import SequenceMatcher
from functools import lru_cache
from typing import TypeVar, get_args

from waterkit.dates import WEEKDAYS
from waterkit.errors import FieldError
from waterkit.quantities import Quantity
from waterkit.units import parse_number
from waterkit.working import Basis

BASES: tuple[Basis, ...] = get_args(Basis)
MOST_MONEY = Decimal("1e9")
MOST_COUNTED = 100_000
PARTS = ("value", "low", "high", "basis", "note")
"""Keys of a figure that is written as a table."""
ALIKE, FEW = 0.6, 5
"""How alike a word must be to be meant, and letters from which on it may be the start of one."""
R = TypeVar("R")
NumberReader = Callable[[object], tuple[float, object]]
"""Reads one part of a figure: its value in the core unit, and what the record is to hold for it."""
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DOTTED = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})")
_SLASHED = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_HALVES = {"am": 0, "pm": 12, "vorm": 0, "nachm": 12}
_TIME = re.compile(
    r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?(?: ?([a-z][a-z.]+))?", re.IGNORECASE
)
_NOON = 12
_HALF_A_LETTER = re.compile("[\ud800-\udfff]")
"""What stands for a byte that is no text."""
_LIKE_THOUSANDS = re.compile(r"[1-9]\d{0,2}\.\d{3}")


@dataclass(frozen=True, slots=True)
class Settings:
    """What holds for a whole folder: the order of slashed dates, ``dmy``, ``mdy`` or empty."""

    dates: str = ""


@dataclass(frozen=True, slots=True)
class Written:
    """A figure as the club wrote it, in the core unit; ``stands_for`` replaces it in the record."""

    value: float
    unit: str
    basis: Basis = "quoted"
    low: float | None = None
    high: float | None = None
    note: str = ""
    stands_for: object = None


class FaultsError(FieldError):
    """Several things wrong with one value; by itself it tells the first of them."""

    def __init__(self, every: Sequence[FieldError]) -> None:
        super().__init__(every[0].message, every[0].hint, every[0].field)
        self.every = tuple(every)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A hint with the nearest known word, or with all of them."""
    return _nearest(word, tuple(known))


@lru_cache(maxsize=256)
def _nearest(word: str, words: tuple[str, ...]) -> str:
    near = max(words, key=lambda text: _likeness(word.lower(), text.lower()), default="")
    if near and _likeness(word.lower(), near.lower()) >= ALIKE:
        return f"did you mean {near!r}?"
    return f"known are: {', '.join(words)}"


def _likeness(word: str, known: str) -> float:
    """How alike two words are; one that stops early is compared with as much of the other."""
    starts = (known, known[: len(word)]) if len(word) > FEW else (known,)
    matches = [SequenceMatcher(None, start, word) for start in starts]
    return max(one.ratio() if one.quick_ratio() >= ALIKE else 0.0 for one in matches)


def shown(raw: object) -> str:
    """A value as a message quotes it, cut to a readable length."""
    if isinstance(raw, bool):
        return str(raw).lower()
    plain = isinstance(raw, Decimal | dt.date | dt.time)
    try:
        text = str(raw) if plain else repr(raw)
    except RecursionError:
        return "a table with too many tables in it"
    return text if len(text) <= 60 else f"{text[:56]} ..."  # noqa: PLR2004


def read_text(raw: object, _: Settings) -> str:
    """Plain text."""
    if not isinstance(raw, str):
        raise FieldError(f"{shown(raw)} is not text", "put it in quotes")
    if _HALF_A_LETTER.search(raw):
        raise FieldError(f"{shown(raw)} holds what is no letter", "type it anew, in UTF-8")
    return " ".join(raw.split())


def read_flag(raw: object, _: Settings) -> bool:
    """Yes or no."""
    if not isinstance(raw, bool):
        raise FieldError(f"{shown(raw)} is neither true nor false", "write true or false")
    return raw


def read_count(raw: object, _: Settings) -> int:
    """A whole number from 0."""
    number = raw if isinstance(raw, int) and not isinstance(raw, bool) else plain_number(raw)
    if number != int(number):
        raise FieldError(f"{shown(raw)} is not a whole number", "write a whole number such as 3")
    if not 0 <= number <= MOST_COUNTED:
        hint = "a count is 0 or more" if number < 0 else "check the digits"
        raise FieldError(f"{shown(raw)} is not between 0 and {MOST_COUNTED}", hint)
    return int(number)


def plain_number(raw: object) -> float:
    """A finite number without a unit, from text or from a TOML number."""
    if isinstance(raw, bool) or not isinstance(raw, str | int | float | Decimal):
        raise FieldError(f"{shown(raw)} is not a number", "write one number, no table or list")
    if not isinstance(raw, str) and not Decimal(raw).is_finite():
        raise FieldError(f"{raw} is not a number", "leave the key out if you do not know it")
    return parse_number(str(raw))


def read_money(raw: object, _: Settings) -> Decimal:
    """An amount of money, exact; a currency sign or a thousands mark is refused."""
    text = str(raw).strip()
    if isinstance(raw, str) and re.search(r"[^\d\s.,'’+-]", text):
        hint = "write the amount alone, with a decimal point; club.toml names the currency"
        raise FieldError(f"{shown(raw)} is not a plain amount of money", hint)
    plain_number(raw)
    if _LIKE_THOUSANDS.fullmatch(text):
        hint = f"write {text.replace('.', '')}, or two decimals: {text[:-1]}"
        raise FieldError(f"{shown(raw)} has a thousands mark or three decimals", hint)
    amount = Decimal(text)
    if not 0 <= amount <= MOST_MONEY:
        raise FieldError(f"{shown(raw)} is not between 0 and {MOST_MONEY:.0f}", "check the digits")
    return amount


def read_date(raw: object, settings: Settings) -> dt.date:
    """A day: ISO, d.m.yyyy, or slashed where ``[files] dates`` tells the order."""
    if isinstance(raw, dt.date) and not isinstance(raw, dt.datetime):
        return raw
    if not isinstance(raw, str):
        raise FieldError(f"{shown(raw)} is not a date", "write it as year-month-day: 2027-10-02")
    parts = _date_parts(raw.strip(), settings)
    if parts is None:
        raise FieldError(f"{shown(raw)} is not a date", "write it as year-month-day: 2027-10-02")
    try:
        return dt.date(*parts)
    except ValueError as error:
        hint = "write a date of the calendar as year-month-day"
        raise FieldError(f"there is no date {raw.strip()}", hint) from error


def _date_parts(text: str, settings: Settings) -> tuple[int, int, int] | None:
    if found := _ISO.fullmatch(text):
        year, month, day = found.groups()
    elif found := _DOTTED.fullmatch(text):
        day, month, year = found.groups()
    elif found := _SLASHED.fullmatch(text):
        if not settings.dates:
            hint = 'write it as year-month-day, or put dates = "dmy" or "mdy" under [files]'
            raise FieldError(f"{text!r} can be read in two ways", hint)
        first, second, year = found.groups()
        day, month = (first, second) if settings.dates == "dmy" else (second, first)
    else:
        return None
    return int(year), int(month), int(day)


def read_time(raw: object, _: Settings) -> dt.time:
    """A time of day such as ``18:45``, also as spreadsheets save it: ``06:45:00 PM``."""
    if isinstance(raw, dt.time):
        return raw.replace(tzinfo=None)
    found = _TIME.fullmatch(raw.strip()) if isinstance(raw, str) else None
    half = (found.group(4) or "").lower().replace(".", "") if found else ""
    if found is None or (half and half not in _HALVES):
        raise FieldError(f"{shown(raw)} is not a time", "write it as hours:minutes: 18:45")
    hours, minutes, seconds, _half = found.groups()
    hour = int(hours)
    if half and not 1 <= hour <= _NOON:
        raise FieldError(f"there is no time {shown(raw)}", "before am and pm, hours go to 12")
    if half:
        hour = hour % _NOON + _HALVES[half]
    try:
        return dt.time(hour, int(minutes), int(seconds or 0))
    except ValueError as error:
        raise FieldError(f"there is no time {shown(raw)}", "hours go from 0 to 23") from error


def read_day(raw: object, settings: Settings) -> dt.date | int:
    """A date, or the number of a weekday from its English name (Monday is 0)."""
    word = raw.strip().lower() if isinstance(raw, str) else ""
    for number, name in enumerate(WEEKDAYS):
        if word in (name, name[:3]):
            return number
    if word.isalpha():
        raise FieldError(f"{raw!r} is not a weekday", did_you_mean(word, WEEKDAYS))
    return read_date(raw, settings)


def read_day_or_name(raw: object, settings: Settings) -> dt.date | str:
    """A date where the text looks like one, else a name."""
    if isinstance(raw, dt.date) or (isinstance(raw, str) and re.match(r"\d+[-./]\d", raw.strip())):
        return read_date(raw, settings)
    return read_text(raw, settings)


def read_names(raw: object, settings: Settings) -> tuple[str, ...]:
    """Names with semicolons between them, or a TOML list of texts."""
    parts = raw.split(";") if isinstance(raw, str) else raw
    if not isinstance(parts, list):
        raise FieldError(f"{shown(raw)} is not a list of names", "put ';' between the names")
    return tuple(name for part in parts if (name := read_text(part, settings)))


def read_figure(raw: object, number: NumberReader, q: Quantity) -> Written:
    """A figure, alone or as ``{ value, low, high, basis, note }``; ``number`` reads each part."""
    if not isinstance(raw, Mapping):
        value, stands_for = number(raw)
        return ranged(Written(value, q.unit, stands_for=stands_for), q)
    if "value" not in raw:
        raise FieldError("the table has no value", "write value = ... in it")
    faults = [
        FieldError(f"unknown key {key!r}", did_you_mean(str(key), PARTS), str(key))
        for key in raw
        if key not in PARTS
    ]

    def read(key: str, reader: Callable[[object], R], default: R) -> R:
        try:
            return reader(raw[key]) if key in raw else default
        except FieldError as error:
            faults.append(error)
            return default

    nothing: tuple[float, object] = (math.nan, None)  # told of already
    middle, stands_for = read("value", number, nothing)
    low, high = (read(key, number, nothing)[0] if key in raw else None for key in ("low", "high"))
    note = read("note", lambda text: read_text(text, Settings()), "")
    basis = read("basis", read_basis, BASES[1])
    told = Written(middle, q.unit, basis, low, high, note, stands_for)
    raise_all([*faults, *_out_of_range(told, q)])
    return told


def ranged(written: Written, q: Quantity) -> Written:
    """The figure itself, checked: low to value to high, all within the register's range."""
    raise_all(list(_out_of_range(written, q)))
    return written


def _out_of_range(written: Written, q: Quantity) -> Iterator[FieldError]:
    """What is wrong with value, low and high; nothing is with what is NaN."""
    for value in dict.fromkeys((written.low, written.value, written.high)):
        if value is not None and (value < q.low or value > q.high):
            unit = "" if q.unit == "1" else f" {q.unit}"
            message = f"{value:.6g}{unit} is not a plausible {q.name}"
            yield FieldError(message, f"the plausible range is {q.low:g} to {q.high:g}{unit}")
    if written.low is not None and written.low > written.value:
        yield FieldError("low is above value", "low, value and high go upwards")
    if written.high is not None and written.high < written.value:
        yield FieldError("high is below value", "low, value and high go upwards")


def raise_all(faults: Sequence[FieldError]) -> None:
    """Raise what is wrong with one value, if anything is: one fault, or all of them together."""
    if len(faults) > 1:
        raise FaultsError(faults)
    for fault in faults:
        raise fault


def read_basis(raw: object) -> Basis:
    """Whose figure it is."""
    for basis in BASES:
        if raw == basis:
            return basis
    raise FieldError(f"{shown(raw)} is no basis", f"write one of: {', '.join(BASES)}", "basis")
