"""The header of a CSV file: which column holds what, in which unit."""

import csv
import io
import re
from dataclasses import dataclass, replace

from waterkit.club.dialects import delimiter_of, is_told
from waterkit.club.fields import did_you_mean
from waterkit.club.models import Slot, slots_of
from waterkit.club.text import TextError
from waterkit.errors import FieldError, Problem
from waterkit.quantities import NUMBER, Quantity
from waterkit.units import check_spelling, to_core, units_of

IN_CELL = ("rated", "area")
"""Keys whose unit stands in the cell, because rows may differ in it."""
BASIS, NOTE = "basis", "note"
"""Columns that every table may have."""
RANGED_TEXT = ("value",)
"""Keys of words that hold a number too, read later: they may have a range."""
NUMBERS_IN_TEXT = (*RANGED_TEXT, "as")
"""Keys of words in which the decimal mark counts."""
_HEAD = re.compile(r"([^\[\]]*?)\s*(?:\[([^\[\]]*)\])?")

Rows = list[tuple[int, list[str]]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file parted into cells: its header with its line, its rows, what parts the columns."""

    header: list[str]
    line: int
    rows: Rows
    delimiter: str


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its key, whether it holds the value or a bound, and the unit of its header.

    ``quantity`` is None for words, dates, money and what carries its unit in the cell;
    ``holds_numbers`` tells whether decimal marks count in it. ``sound`` is False for a column whose
    header has a fault: its cells are passed over.
    """

    key: str
    part: str = "value"
    unit: str = ""
    quantity: Quantity | None = None
    holds_numbers: bool = False
    sound: bool = True


def split_rows(text: str) -> Sheet:
    """The header and the rows that are not empty, each with the line it starts on.

    Raises
    ------
    FieldError
        If the text is not a table.
    """
    delimiter = delimiter_of(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: Rows = []
    long: list[tuple[int, int]] = []
    start = 1
    try:
        for row in reader:
            told = not rows and is_told(delimiter.join(row))
            if any(cell.strip() for cell in row) and not told:
                rows.append((start, [" ".join(cell.split()) for cell in row]))
            if reader.line_num > start:
                long.append((start, reader.line_num))
            start = reader.line_num + 1
    except csv.Error as error:
        open_ended = "unexpected end" in str(error)
        message = "a quote is left open" if open_ended else f"the table breaks off here: {error}"
        hint = "a cell that holds a quote, or what parts the columns, stands in double quotes"
        raise TextError(message, hint, line=start) from error
    if not rows:
        raise FieldError("the file is empty", "write a header line, or take the file away")
    (line, header), *rest = rows
    if long:
        _refuse_swallowed(text.split("\n"), long, Sheet(header, line, rest, delimiter))
    return Sheet(header, line, rest, delimiter)


def _refuse_swallowed(lines: list[str], long: list[tuple[int, int]], sheet: Sheet) -> None:
    """Raise TextError where a cell of several lines holds what looks like rows of the table."""
    starts = {start for start, _ in long}
    sizes = (_size(cells) for line, cells in sheet.rows if line not in starts)
    width = max(sizes, default=_size(sheet.header))
    for start, end in long:
        least = 1 if start == sheet.line else width
        if _holds_rows(lines[start:end], sheet.delimiter, least):
            message = f"a quote takes in lines {start + 1} to {end}, which look like rows"
            hint = (
                "take the stray quote away, or close it in its line; a cell of several lines "
                "is written on one"
            )
            raise TextError(message, hint, line=start)


def _holds_rows(lines: list[str], delimiter: str, least: int) -> bool:
    """Whether one of the lines that a quoted cell goes on in has cells enough to be a row."""
    for number, line in enumerate(lines, start=1):
        quoted = line.partition('"')[0] if number == len(lines) else line
        cells = next(csv.reader([line], delimiter=delimiter), [])
        if delimiter in quoted and len(cells) >= least:
            return True
    return False


def _size(cells: list[str]) -> int:
    """The number of cells up to the last one that is not empty."""
    return max((place for place, cell in enumerate(cells, start=1) if cell), default=0)


def read_header(file: str, sheet: Sheet, record: type) -> tuple[list[Column | None], list[Problem]]:
    """What each column holds, None under an empty heading, and all that is wrong with them."""
    header, line = sheet.header, sheet.line
    columns: list[Column | None] = []
    problems: list[Problem] = []
    taken: set[tuple[str, str]] = set()
    for text in header:
        column = None
        try:
            column = _column(text, record) if text else None
            if column and (column.key, column.part) in taken:
                raise FieldError("this column stands twice", "take one away")
        except FieldError as error:
            problems.append(Problem(file, error.message, error.hint, line, text))
            column = Column(key_of(text.partition("[")[0]), sound=False)
        if column:
            taken.add((column.key, column.part))
        columns.append(column)
    for key, slot in slots_of(record).items():
        if slot.required and (key, "value") not in taken:
            problems.append(Problem(file, "this column is missing", "add it", line, _titled(slot)))
    return columns, problems


def _column(text: str, record: type) -> Column:
    slots = slots_of(record)
    found = _HEAD.fullmatch(text)
    if found is None:
        raise FieldError("this heading cannot be read", "write it as name [unit]")
    key, unit, part = key_of(found.group(1)), found.group(2), "value"
    if key not in slots and key.endswith(("_low", "_high")):
        key, _, part = key.rpartition("_")
        if key in slots and not slots[key].is_figure and key not in RANGED_TEXT:
            raise FieldError("only figures have a range", "take the column away")
    if key in (BASIS, NOTE) and key not in slots:
        return Column(key)
    if key not in slots:
        hint = did_you_mean(title_of(key), [title_of(name) for name in slots])
        raise FieldError("this column is not known", hint)
    return _with_unit(text, Column(key, part, (unit or "").strip()), slots[key])


def _with_unit(text: str, column: Column, slot: Slot) -> Column:
    quantity = slot.quantity or (NUMBER if slot.is_figure else None)
    if quantity is None or slot.key in IN_CELL:
        if column.unit:
            raise FieldError("this column takes no unit", "take the bracket away")
        return replace(column, holds_numbers=slot.holds_numbers or slot.key in NUMBERS_IN_TEXT)
    if quantity.unit == "1" and column.unit not in ("", "1"):
        hint = "take the bracket away; the cells hold plain numbers"
        raise FieldError(f"this column has plain numbers, no {column.unit}", hint)
    unit = column.unit or ("1" if quantity.unit == "1" else "")
    if not unit:
        hint = f"write '{text} [{quantity.unit}]', or another of: {units_of(quantity)}"
        raise FieldError("this column has no unit", hint)
    to_core(1.0, check_spelling(unit), quantity)
    return Column(column.key, column.part, check_spelling(unit), quantity, holds_numbers=True)


def key_of(text: str) -> str:
    """A heading as a key: small letters, blanks as underscores."""
    return "_".join(text.lower().replace("_", " ").split())


def title_of(key: str) -> str:
    """A key as it stands in a heading."""
    return key.replace("_", " ")


def _titled(slot: Slot) -> str:
    unit = slot.quantity.unit if slot.quantity and slot.key not in IN_CELL else "1"
    return title_of(slot.key) + ("" if unit == "1" else f" [{unit}]")
