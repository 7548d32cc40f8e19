"""How a table is written, so that a new row is written like the ones that stand there.

What parts the columns, the decimal mark, the order and the units of the columns, how days are
written, how lines end: all of it is read off the file. A new file is written as the docs say.
"""

import csv
import datetime as dt
import io
import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, is_dataclass
from decimal import Decimal
from typing import Any

from waterkit.club.columns import IN_CELL, Column, Sheet, read_header, split_rows, title_of
from waterkit.club.dialects import (
    Dialect,
    delimiter_of,
    dialect_of,
    like_thousands,
    plain_number,
)
from waterkit.club.fields import read_date
from waterkit.club.models import Slot, slots_of
from waterkit.club.pen import cell_text, plain_text, written_as
from waterkit.club.text import problem_of
from waterkit.club.times import ClockSettings, clock_text, read_moment, zone_of
from waterkit.errors import FieldError, InputError, Problem
from waterkit.quantities import Quantity
from waterkit.units import convert, parse_number, to_core

SAMPLE = 4_000
"""Characters that tell the style of a file with commas; in others all numbers count."""
DIGITS = 10
"""Of a number that was converted from another unit and does not end."""
ISO = "%Y-%m-%d"
_DOTTED = re.compile(r"\d{1,2}\.\d{1,2}\.\d{4}")
_SLASHED = re.compile(r"\d{1,2}/\d{1,2}/\d{4}")
_SLASHED_DAYS = {"dmy": "%d/%m/%Y", "mdy": "%m/%d/%Y"}
_DATES = (dt.date, dt.datetime)


@dataclass(frozen=True, slots=True)
class Style:
    """How one file is written.

    ``columns`` are those that hold a value of the record, None in the places of all others; ``day``
    is how a day is written, ``between`` what stands between it and a time.
    """

    file: str
    record: type
    settings: ClockSettings
    header: tuple[str, ...]
    columns: tuple[Column | None, ...]
    delimiter: str = ","
    mark: str = "."
    day: str = ISO
    between: str = "T"
    header_line: int = 1

    def line(self, cells: Sequence[str]) -> str:
        """Cells as a line, without its end."""
        out = io.StringIO()
        csv.writer(out, delimiter=self.delimiter, lineterminator="").writerow(cells)
        return out.getvalue()

    def cells(self, record: object) -> list[str]:
        """The cells of a record, in the order of the columns.

        Raises
        ------
        InputError
            If there is no column for something that the record holds.
        """
        slots = slots_of(self.record)
        values = {key: getattr(record, slot.attribute) for key, slot in slots.items()}
        told = {key: value for key, value in values.items() if value != slots[key].default}
        self.need(told)
        return [
            self.cell(column, told[column.key]) if column and column.key in told else ""
            for column in self.columns
        ]

    def need(self, keys: Iterable[str]) -> None:
        """Raise InputError unless each key has its column."""
        there = {column.key for column in self.columns if column}
        slots = slots_of(self.record)
        problems = [
            Problem(
                self.file,
                "there is no column for it",
                f"add the heading {heading(slots[key])!r} at the end of this line; "
                "the rows may stay as they are",
                self.header_line,
                title_of(key),
            )
            for key in keys
            if key not in there
        ]
        if problems:
            raise InputError(problems)

    def cell(self, column: Column, value: Any) -> str:
        """A value as a cell of its column."""
        if isinstance(value, dt.datetime):
            return self._moment(value)
        if isinstance(value, dt.date):
            return value.strftime(self.day)
        if column.quantity is not None:
            return self._number(_in_unit(float(value), column.unit, column.quantity))
        if isinstance(value, Decimal):
            return self._number(value)
        return cell_text(plain_text(value, slots_of(self.record)[column.key]))

    def _moment(self, moment: dt.datetime) -> str:
        text = clock_text(moment, zone_of(self.settings.timezone))
        day, _, time = text.partition("T")
        return dt.date.fromisoformat(day).strftime(self.day) + self.between + time

    def _number(self, number: Decimal) -> str:
        text = format(number, "f").replace(".", self.mark)
        return text + "0" if self.delimiter != "," and like_thousands(text) else text

    def place(self, key: str) -> int:
        """Which column holds the values of a key."""
        return [column.key if column else "" for column in self.columns].index(key)

    def finder(self, mine: Sequence[str]) -> Callable[[str], bool]:
        """Whether a line holds the same values as this row, however they are written."""
        slots = slots_of(self.record)
        cells = [
            (place, cell, slots[column.key], column)
            for place, (cell, column) in enumerate(zip(mine, self.columns, strict=True))
            if column
        ]
        cells.sort(key=lambda cell: cell[2].hint in _DATES)  # those that rows share come last
        words = [cell.split()[0] for _, cell, slot, _ in cells if cell and slot.hint is str]
        plain = [word for word in words if '"' not in word]

        def is_same(line: str) -> bool:
            if not all(word in line for word in plain):
                return False  # as most lines, so that few are parted into cells
            theirs = next(csv.reader([line], delimiter=self.delimiter), [])
            return all(
                (other := theirs[place] if place < len(theirs) else "") == cell
                or self._alike(column, slot, cell, other)
                for place, cell, slot, column in cells
            )

        return is_same

    def _alike(self, column: Column, slot: Slot, one: str, other: str) -> bool:
        if not (one and other) or not (column.holds_numbers or slot.hint in _DATES):
            return " ".join(other.split()) == one
        try:
            return bool(self._value(slot, one) == self._value(slot, other))
        except FieldError:
            return False

    def _value(self, slot: Slot, cell: str) -> object:
        if slot.hint is dt.datetime:
            return read_moment(cell, self.settings)
        if slot.hint is dt.date:
            return read_date(cell, self.settings)
        return parse_number(plain_number(cell, Dialect(self.delimiter, self.mark == ",")))


def new_style(file: str, record: type, settings: ClockSettings) -> Style:
    """A file that is not there yet: every column, with commas, in core units."""
    header = tuple(heading(slot) for slot in slots_of(record).values())
    columns, _ = read_header(file, Sheet(list(header), 1, [], ","), record)
    return Style(file, record, settings, header, _values(columns, record))


def style_of(file: str, text: str, record: type, settings: ClockSettings) -> Style:
    """How a file is written.

    Raises
    ------
    InputError
        If its header cannot be used, or the table breaks off.
    """
    comma = delimiter_of(text) == ","
    sample = text[: text.rfind("\n", 0, SAMPLE) + 1]
    if not comma or not sample.strip() or sample.count('"') % 2:
        sample = text
    try:
        if text.count('"') % 2:
            split_rows(text)  # a quote may be left open further down
        sheet = split_rows(sample)
    except FieldError as error:
        raise InputError([problem_of(file, error)]) from error
    found, problems = read_header(file, sheet, record)
    if problems:
        raise InputError(problems)
    columns = _values(found, record)
    mark = "." if comma else _mark(file, sheet, columns)
    day, between = _days(sheet, columns, record, settings)
    header = tuple(sheet.header)
    return Style(
        file, record, settings, header, columns, sheet.delimiter, mark, day, between,
        sheet.line,
    )  # fmt: skip


def _mark(file: str, sheet: Sheet, columns: Sequence[Column | None]) -> str:
    """The decimal mark of a file without commas; where no number tells, semicolons do.

    Raises
    ------
    InputError
        If it may be a thousands mark: a new row would settle what nobody knows.
    """
    places = [place for place, column in enumerate(columns) if column and column.holds_numbers]
    numbers = [
        (line, cells[place]) for line, cells in sheet.rows for place in places if place < len(cells)
    ]
    dialect = dialect_of(sheet.delimiter, numbers)
    for line, cell in () if dialect.sure else numbers:
        try:
            plain_number(cell, dialect)
        except FieldError as error:
            raise InputError([Problem(file, error.message, error.hint, line)]) from error
    if dialect.point:
        return "."
    return "," if dialect.commas or sheet.delimiter == ";" else "."


def _days(
    sheet: Sheet, columns: Sequence[Column | None], record: type, settings: ClockSettings
) -> tuple[str, str]:
    """How the last row writes its day, and what stands between day and time."""
    slots = slots_of(record)
    for _, cells in reversed(sheet.rows):
        for column, cell in zip(columns, cells, strict=False):
            if not (cell and column and slots[column.key].hint in _DATES):
                continue
            day = re.split("[T ]", cell)[0]
            between = "T" if "T" in cell or day == cell else " "
            if _DOTTED.fullmatch(day):
                return "%d.%m.%Y", " "
            if _SLASHED.fullmatch(day) and settings.dates:
                return _SLASHED_DAYS[settings.dates], " "
            return ISO, between
    return ISO, "T"


def _values(columns: Sequence[Column | None], record: type) -> tuple[Column | None, ...]:
    slots = slots_of(record)
    return tuple(
        column if column and column.part == "value" and column.key in slots else None
        for column in columns
    )


def _in_unit(value: float, unit: str, quantity: Quantity) -> Decimal:
    """A value in core units as a number in a column of that unit, rounded where it never ends."""
    guess = float(convert(value, quantity.unit, unit))
    found = written_as(value, lambda number: float(to_core(number, unit, quantity)), guess)
    number = Decimal(repr(found)).normalize()
    return number if len(number.as_tuple().digits) <= DIGITS else Decimal(f"{guess:.{DIGITS}g}")


def alike(one: object, other: object) -> bool:
    """Whether two records, or two values of them, are the same but for rounding."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=10.0 ** (1 - DIGITS), abs_tol=1e-9)
    if is_dataclass(one) and type(one) is type(other):
        return all(
            alike(getattr(one, item.name), getattr(other, item.name)) for item in fields(one)
        )
    return one == other


def heading(slot: Slot) -> str:
    """How the column of a field is headed, in core units."""
    unit = slot.quantity.unit if slot.quantity and slot.key not in IN_CELL else "1"
    return title_of(slot.key) + ("" if unit == "1" else f" [{unit}]")
