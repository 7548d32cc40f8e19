"""The cells of a CSV file: each under its column, its number with a decimal point."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from waterkit.club.columns import BASIS, Column, Sheet, title_of
from waterkit.club.dialects import Dialect, dialect_of, plain_number
from waterkit.club.fields import BASES, did_you_mean, shown
from waterkit.errors import FieldError, Problem

Key = tuple[str, str]
"""What a cell holds: the key of its column, and whether it is the value or a bound."""
Cell = str | FieldError
_FORMULA = re.compile(r"[=@]|[+-](?=[^\W\d_]|\()")
_START, _REST = re.compile(r"[<+-]*\d+"), re.compile(r"\d+")


@dataclass(frozen=True, slots=True)
class Line:
    """The cells of one row that are not empty, and the line it starts on.

    A cell that cannot be used holds what is wrong with it. ``whole`` is False where nobody can tell
    which cell belongs to which column.
    """

    number: int
    cells: Mapping[Key, Cell]
    whole: bool = True

    def text(self, key: str, part: str = "value") -> str:
        """A cell as written; empty where there is none, or none that can be used."""
        cell = self.cells.get((key, part), "")
        return cell if isinstance(cell, str) else ""


def read_lines(
    file: str, sheet: Sheet, columns: Sequence[Column | None]
) -> tuple[list[Line], list[Problem]]:
    """The rows of a file that hold something, and what is wrong with their cells."""
    lines: list[Line] = []
    problems: list[Problem] = []
    usual = _usual_size(sheet, columns)
    for number, cells in sheet.rows:
        known = {
            (column.key, column.part): cell
            for column, cell in zip(columns, cells, strict=False)
            if cell and column and column.sound
        }
        parted = _parted(cells, columns, usual) if sheet.delimiter == "," else None
        strays = list(_strays(file, number, cells, columns, parted))
        problems += strays
        if known:
            lines.append(Line(number, known, not strays))
    keys = [(column.key, column.part) for column in columns if column and column.holds_numbers]
    dialect = dialect_of(sheet.delimiter, _numbers(lines, keys))
    lines = [_usable(line, frozenset(keys), dialect) for line in lines]
    return lines, problems + [problem for line in lines for problem in _basis(file, line)]


def _strays(
    file: str, number: int, cells: list[str], columns: Sequence[Column | None],
    parted: tuple[Column, str] | None,
) -> Iterator[Problem]:  # fmt: skip
    """The first cell that stands under no heading, or the decimal comma that may be why."""
    if parted:
        column, text = parted
        message = f"{text!r} has a decimal comma, which parts it into two cells"
        hint = "write it with a decimal point; any other cell with a comma stands in double quotes"
        yield Problem(file, message, hint, number, title_of(column.key))
        return
    for place, cell in enumerate(cells):
        if cell and (place >= len(columns) or columns[place] is None):
            hint = "a cell that holds what parts the columns stands in double quotes"
            yield Problem(file, f"{shown(cell)} stands under no heading", hint, number)
            return


def _usual_size(sheet: Sheet, columns: Sequence[Column | None]) -> int:
    """How many cells a row may have: those of the header, and empty ones that all rows have."""
    least = min((len(cells) for _, cells in sheet.rows), default=0)
    return max(len(columns), least if len(sheet.rows) > 1 else 0)


def _parted(
    cells: list[str], columns: Sequence[Column | None], usual: int
) -> tuple[Column, str] | None:
    """The number that a decimal comma has parted into two cells, if a row has a cell too many."""
    if len(cells) <= usual and not any(cells[len(columns) :]):
        return None
    for column, start, rest in zip(columns, cells, cells[1:], strict=False):
        if column and column.holds_numbers and _START.fullmatch(start) and _REST.fullmatch(rest):
            return column, f"{start},{rest}"
    return None


def _numbers(lines: Sequence[Line], keys: Sequence[Key]) -> Iterator[tuple[int, str]]:
    for line in lines:
        for key in keys:
            if cell := line.text(*key):
                yield line.number, cell


def _usable(line: Line, numbers: frozenset[Key], dialect: Dialect) -> Line:
    """The cells with what is wrong with them in place of those that cannot be used."""
    cells: dict[Key, Cell] = {}
    for key in line.cells:
        text = line.text(*key)
        try:
            _refuse_formula(text)
            cells[key] = plain_number(text, dialect) if key in numbers else text
        except FieldError as error:
            cells[key] = error
    return replace(line, cells=cells)


def _refuse_formula(cell: str) -> None:
    if _FORMULA.match(cell):
        hint = "write the value or the word itself, without = + - @ before it"
        raise FieldError(f"{shown(cell)} would be a formula in a spreadsheet", hint)


def _basis(file: str, line: Line) -> Iterator[Problem]:
    basis = line.cells.get((BASIS, "value"), BASES[0])
    if isinstance(basis, FieldError):
        yield Problem(file, basis.message, basis.hint, line.number, BASIS)
    elif basis not in BASES:
        hint = did_you_mean(basis, BASES)
        yield Problem(file, f"{shown(basis)} is no basis", hint, line.number, BASIS)
