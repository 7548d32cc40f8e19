"""How a table is written: what parts its columns, and which mark its decimals have.

Columns are parted by commas, semicolons or tabs; the header tells which. Where they are not parted
by commas, a decimal comma is read if no number of the file has a decimal point. What a spreadsheet
takes for text, ``<0.05`` or ``9.5 kgr/ft3``, keeps its point when all numbers get commas: a point
in it does not count.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from waterkit.errors import FieldError

MARKS = ("\t", ";", ",")
"""What may part columns; of two that stand as often in a header, the first one does."""
_QUOTED = re.compile(r'"[^"]*"')
_COMMA = re.compile(r"(?<![\d.,'’])(\d+),(\d+)(?![\d.,'’])")
_POINT = re.compile(r"[+-]?\d*\.\d+(?:[eE][+-]?\d+)?")
_THOUSANDS = re.compile(r"\d\.\d{3},\d|\d,\d{3}\.\d|\d\.\d{3}\.\d|\d,\d{3},\d|\d[ '’]\d{3}(?!\d)")
_LIKE_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")


@dataclass(frozen=True, slots=True)
class Dialect:
    """How one file is written.

    ``commas`` tells whether a comma in a number is its decimal mark; ``point`` is the first number
    with a decimal point, with its line. ``sure`` is False where each comma in a number could mark
    thousands as well.
    """

    delimiter: str = ","
    commas: bool = False
    point: tuple[int, str] | None = None
    sure: bool = True


def delimiter_of(text: str) -> str:
    """What parts the columns, read off the header: the first line that is not empty."""
    header = text.lstrip("\n \r").partition("\n")[0]
    bare = _QUOTED.sub("", header)
    most = max(MARKS, key=bare.count)
    return most if most in bare else ","


def dialect_of(delimiter: str, numbers: Iterable[tuple[int, str]]) -> Dialect:
    """The dialect of a file from what parts its columns and from its numbers with their lines."""
    if delimiter == ",":
        return Dialect(delimiter)
    point, commas = None, []
    for line, cell in numbers:
        if point is None and _POINT.fullmatch(cell):
            point = (line, cell)
        if found := _COMMA.search(cell):
            commas.append(found.group())
    sure = not commas or any(not _LIKE_THOUSANDS.fullmatch(number) for number in commas)
    return Dialect(delimiter, bool(commas) and point is None, point, sure)


def plain_number(cell: str, dialect: Dialect) -> str:
    """A cell that holds a number, alone or with a unit, with a decimal point.

    Raises
    ------
    FieldError
        For a thousands mark, and for a decimal comma that cannot be told from one or stands beside
        decimal points. A decimal comma in a file with commas is left for whoever reads the number.
    """
    if _THOUSANDS.search(cell):
        hint = "write the number without a thousands mark: 1500 or 1500.5"
        raise FieldError(f"{cell!r} has a thousands mark", hint)
    if dialect.delimiter == "," or not _COMMA.search(cell):
        return cell
    if dialect.point:
        line, other = dialect.point
        message = f"{cell!r} has a decimal comma, {other!r} in line {line} a decimal point"
        raise FieldError(message, "write all numbers of the file with the same mark")
    if not dialect.sure:
        hint = "write it without a thousands mark, or with another number of decimals: 1500 or 1,50"
        raise FieldError(f"{cell!r} has a thousands mark or a decimal comma", hint)
    return _COMMA.sub(r"\1.\2", cell)
