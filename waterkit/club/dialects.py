"""How a table is written: what parts its columns, and which mark its decimals have.

Columns are parted by commas, semicolons or tabs; the header tells which. Where they are not parted
by commas, a decimal comma is read if no number of the file has a decimal point. A comma or a point
that could mark thousands, in every number that has one, is a problem there. What a spreadsheet
takes for text, ``<0.05`` or ``9.5 kgr/ft3``, keeps its point when all numbers get commas: a point
in it does not count.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from waterkit.errors import FieldError

MARKS = ("\t", ";", ",")
"""What may part columns; of two that stand as often in a header, the first one does."""
_TOLD = re.compile(r"sep=([,;\t]?)[,;\t \r]*", re.IGNORECASE)
"""A line above the header in which a spreadsheet says what parts the columns."""
_QUOTED = re.compile(r'"[^"]*"')
_COMMA = re.compile(r"(?<![\d.,'’])(\d+),(\d+)(?![\d.,'’])")
_POINT = re.compile(r"[+-]?\d*\.\d+(?:[eE][+-]?\d+)?")
_THOUSANDS = re.compile(r"\d\.\d{3},\d|\d,\d{3}\.\d|\d\.\d{3}\.\d|\d,\d{3},\d|\d[ '’]\d{3}(?!\d)")
_LIKE_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}[.,]\d{3}")


@dataclass(frozen=True, slots=True)
class Dialect:
    """How one file is written.

    ``commas`` tells whether a comma in a number is its decimal mark; ``point`` is the first number
    with a decimal point, with its line. ``sure`` is False where each comma, or each point, in a
    number could mark thousands as well.
    """

    delimiter: str = ","
    commas: bool = False
    point: tuple[int, str] | None = None
    sure: bool = True


def delimiter_of(text: str) -> str:
    """What parts the columns, read off the header: the first line that is not empty.

    A line ``sep=;`` above it tells it too.
    """
    header, _, rest = text.lstrip("\n \r").partition("\n")
    if told := _TOLD.fullmatch(header):
        return told.group(1) or delimiter_of(rest)
    bare = _QUOTED.sub("", header)
    most = max(MARKS, key=bare.count)
    return most if most in bare else ","


def is_told(line: str) -> bool:
    """Whether a line above the header says what parts the columns."""
    return _TOLD.fullmatch(line) is not None


def dialect_of(delimiter: str, numbers: Iterable[tuple[int, str]]) -> Dialect:
    """The dialect of a file from what parts its columns and from its numbers with their lines."""
    if delimiter == ",":
        return Dialect(delimiter)
    point, points, commas = None, list[str](), list[str]()
    for line, cell in numbers:
        if _POINT.fullmatch(cell):
            point = point or (line, cell)
            points.append(cell)
        if found := _COMMA.search(cell):
            commas.append(found.group())
    marked = commas or points
    sure = not marked or any(not like_thousands(number) for number in marked)
    return Dialect(delimiter, bool(commas) and point is None, point, sure)


def like_thousands(number: str) -> bool:
    """Whether the mark in a number could mark its thousands: ``1.250`` or ``1,250``."""
    return _LIKE_THOUSANDS.fullmatch(number) is not None


def plain_number(cell: str, dialect: Dialect) -> str:
    """A cell that holds a number, alone or with a unit, with a decimal point.

    Raises
    ------
    FieldError
        For a thousands mark, for a decimal mark that cannot be told from one, and for a decimal
        comma beside decimal points. In a file with commas it is left for whoever reads the number.
    """
    if _THOUSANDS.search(cell):
        hint = "write the number without a thousands mark: 1500 or 1500.5"
        raise FieldError(f"{cell!r} has a thousands mark", hint)
    if dialect.delimiter == ",":
        return cell
    if not _COMMA.search(cell):
        _refuse_unsure(cell, dialect)
        return cell
    if dialect.point:
        line, other = dialect.point
        message = f"{cell!r} has a decimal comma, {other!r} in line {line} a decimal point"
        raise FieldError(message, "write all numbers of the file with the same mark")
    if not dialect.sure:
        hint = "write it without a thousands mark, or with another number of decimals: 1500 or 1,50"
        raise FieldError(f"{cell!r} has a thousands mark or a decimal comma", hint)
    return _COMMA.sub(r"\1.\2", cell)


def _refuse_unsure(cell: str, dialect: Dialect) -> None:
    if dialect.point and not dialect.sure and like_thousands(cell):
        hint = "write it without a thousands mark, or with another number of decimals: 1500 or 1.50"
        raise FieldError(f"{cell!r} has a thousands mark or a decimal point", hint)
