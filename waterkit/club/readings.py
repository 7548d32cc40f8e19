"""readings.csv: every reading of the club's meters, ten rows as well as a million.

Rows that are plainly right are read by the column (:mod:`waterkit.club.long_tables`); any other row
goes through the reader that the record gives, which tells what is wrong with it. A large file is
read with pandas, a small one without, so that nobody waits for a library.
"""

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal, get_args, get_origin

import numpy as np
from numpy.typing import NDArray

from waterkit.club.columns import Column, Sheet, read_header, split_rows
from waterkit.club.dialects import Dialect, delimiter_of, dialect_of
from waterkit.club.long_tables import (
    NO_MOMENT,
    Cells,
    Flags,
    FrameCells,
    Kind,
    Moments,
    SheetCells,
    as_utc,
)
from waterkit.club.mentions import Known, strange_readings
from waterkit.club.models import Slot, slots_of
from waterkit.club.tables import Table, read_table
from waterkit.club.text import LONGEST_LINE, decode, is_there, problem_of, read_bytes
from waterkit.club.times import ClockSettings
from waterkit.errors import FieldError, Problem
from waterkit.quantities import Quantity
from waterkit.units import to_core
from waterkit.water.readings import Reading, Readings

READINGS_FILE = "readings.csv"
LARGE_BYTES = 1_000_000
"""From this size on a file is read with pandas."""
MOST_TOLD = 50
"""Problems of one kind that are listed; the rest is counted."""
MOST_ODD = 2_000
"""Rows that are read one by one, once one of them is wrong; the rest is counted."""
SAMPLE_BYTES = 50_000
ONE_METER = "mend one; after a new water meter write what both have counted together"
_FORMULA = "=@+-"
"""What may begin a formula; the reader of the record decides."""
_VARIES = re.compile(r"'[^']*'|\"[^\"]*\"|[\d.,:T+-]+")

Columns = Sequence[Column | None]
Arrays = dict[str, NDArray[Any]]


@dataclass(frozen=True, slots=True)
class _Log:
    """One log, read by the column as far as it is plain.

    ``settling`` are lines whose numbers tell the decimal mark of the file; ``faulty`` tells that
    its header is wrong.
    """

    cells: Cells
    arrays: Arrays
    plain: Flags
    settling: frozenset[int] = frozenset()
    faulty: bool = False

    @property
    def odd(self) -> NDArray[np.int64]:
        """Rows that hold something and are not plain."""
        rows = np.flatnonzero(~self.plain)
        return rows[~self.cells.blank(rows)]


def read_readings(
    path: Path, timezone: str = "UTC", dates: str = "", known: Known | None = None
) -> tuple[Readings | None, tuple[Problem, ...]]:
    """Read a log of meter readings, and tell all that is wrong with it.

    ``path`` is the file or the folder that holds it, ``timezone`` the club's, ``dates`` the order
    of slashed dates (``dmy``, ``mdy`` or empty), ``known`` what the rows may mention. There are no
    readings where there is no file, and where it holds an error.

    Raises
    ------
    MachineError
        If the file is there but the machine does not hand it over.
    """
    path = Path(path)
    path = path / READINGS_FILE if path.is_dir() else path
    if not is_there(path):
        return None, ()
    try:
        settings = ClockSettings(dates, timezone)
        readings, problems = _read(path.name, read_bytes(path), settings, known)
    except FieldError as error:
        readings, problems = None, [problem_of(path.name, error)]
    return readings, limited(problems)


def _read(
    file: str, data: bytes, settings: ClockSettings, known: Known | None
) -> tuple[Readings | None, list[Problem]]:
    log, problems, sound = _log_of(file, data, settings)
    if not sound:
        return None, problems
    whole = bool(log.plain.all())
    kept = log.arrays if whole else {name: one[log.plain] for name, one in log.arrays.items()}
    lines, readings = log.cells.lines[log.plain], Readings(**kept)
    falls = list(_falls(file, kept, lines))
    strange = strange_readings(file, readings, lines, known) if known else ()
    return (None if falls else readings), [*problems, *falls, *strange]


def _log_of(file: str, data: bytes, settings: ClockSettings) -> tuple[_Log, list[Problem], bool]:
    """A log, what is wrong with it, and whether all of its rows could be read."""
    log = _with_pandas(data, settings) if len(data) >= LARGE_BYTES else None
    log = log or _with_csv(decode(data), settings)
    odd, problems = log.odd, list[Problem]()
    for rows in (odd[:MOST_ODD], odd[MOST_ODD:]):
        if not len(rows) and not log.faulty:
            break
        table = _one_by_one(file, decode(data), log, rows, settings)
        problems += table.problems
        _fill(log, table)
        if any(problem.severity == "error" for problem in problems):
            return log, [*problems, *_not_looked_at(file, log, odd[len(rows) :])], False
    return log, problems, True


# Rows by the column.


def _with_csv(text: str, settings: ClockSettings) -> _Log:
    sheet = split_rows(text)
    columns, problems = read_header(READINGS_FILE, sheet, Reading)
    numbers = list(_numbers(sheet, columns))
    cells = SheetCells(sheet, dialect_of(sheet.delimiter, numbers), settings)
    settling = frozenset(_settling(sheet.delimiter, numbers))
    return _Log(cells, *_by_the_column(cells, columns), settling, bool(problems))


def _with_pandas(data: bytes, settings: ClockSettings) -> _Log | None:
    """A large log, or None where pandas would read something else than the csv module does."""
    end = data.rfind(b"\n", 0, SAMPLE_BYTES) + 1
    if not end or not _one_line_a_row(data):
        return None
    try:
        sheet = split_rows(decode(data[:end]))
        columns, problems = read_header(READINGS_FILE, sheet, Reading)
        dialect = dialect_of(sheet.delimiter, _numbers(sheet, columns))
        unsettled = sheet.delimiter != "," and not _surely(dialect)
        if problems or sheet.line > 1 or unsettled or not _quotes_are_sound(data, sheet.delimiter):
            return None
        cells = FrameCells.read(data, _kinds(columns), dialect, settings)
    except ValueError:  # a fault that the csv module tells better
        return None
    log = _Log(cells, *_by_the_column(cells, columns))
    return log if sheet.delimiter == "," or not len(log.odd) else None


def _kinds(columns: Columns) -> list[Kind]:
    """How pandas is to read each column: few different texts, many, or numbers."""
    return [
        "number" if column and column.quantity else "words" if column and column.key != "time"
        else "text"
        for column in columns
    ]  # fmt: skip


def _numbers(sheet: Sheet, columns: Columns) -> Iterator[tuple[int, str]]:
    places = [place for place, column in enumerate(columns) if column and column.holds_numbers]
    for line, cells in sheet.rows:
        yield from ((line, cells[place]) for place in places if place < len(cells))


def _surely(dialect: Dialect) -> bool:
    """Whether a number tells the decimal mark, and no other reading of it is possible."""
    return dialect.sure and (dialect.commas or dialect.point is not None)


def _settling(delimiter: str, numbers: Sequence[tuple[int, str]]) -> Iterator[int]:
    """The first line with a decimal point, and the first lines with what must be one or a comma."""
    found = [(line, dialect_of(delimiter, [(line, cell)])) for line, cell in numbers]
    for lines in (
        (line for line, dialect in found if dialect.point),
        (line for line, dialect in found if dialect.point and dialect.sure),
        (line for line, dialect in found if dialect.commas and dialect.sure),
    ):
        yield from (line for line in [next(lines, None)] if line is not None)


def _by_the_column(cells: Cells, columns: Columns) -> tuple[Arrays, Flags]:
    """Each field as an array, and which rows are plain."""
    slots = slots_of(Reading)
    rows = len(cells.lines)
    arrays: Arrays = {}
    plain = ~cells.strays(len(columns))
    for place, column in enumerate(columns):
        if column and column.sound and column.part == "value" and column.key in slots:
            slot = slots[column.key]
            arrays[slot.attribute], fit = _column(cells, place, column, slot)
            plain &= fit
        else:
            plain &= cells.empty(place)
    for slot in slots.values():
        if slot.attribute not in arrays:
            arrays[slot.attribute] = _unwritten(slot, rows)
            plain &= not slot.required
    return arrays, plain


def _unwritten(slot: Slot, rows: int) -> NDArray[Any]:
    if slot.quantity:
        return np.full(rows, np.nan)
    return np.full(rows, NO_MOMENT) if slot.key == "time" else np.full(rows, "", dtype=np.object_)


def _column(cells: Cells, place: int, column: Column, slot: Slot) -> tuple[NDArray[Any], Flags]:
    if column.quantity:
        return _quantities(cells, place, column.unit, column.quantity, slot.required)
    if slot.key == "time":
        moments = cells.moments(place)
        return moments, ~np.isnat(moments)
    codes, words = cells.words(place)
    known = frozenset(get_args(slot.hint) if get_origin(slot.hint) is Literal else words)
    fit = [
        word in known and word[0] not in _FORMULA if word else not slot.required for word in words
    ]
    flags = np.ones(len(codes), dtype=np.bool_) if all(fit) else np.array(fit).take(codes)
    return np.array(words, dtype=np.object_).take(codes), flags


def _quantities(
    cells: Cells, place: int, unit: str, quantity: Quantity, required: bool
) -> tuple[NDArray[np.float64], Flags]:
    numbers, odd = cells.numbers(place)
    core = np.asarray(to_core(numbers, unit, quantity))
    fit = (core >= quantity.low) & (core <= quantity.high)
    return core, fit if required else fit | (np.isnan(core) & ~odd)


def _one_line_a_row(data: bytes) -> bool:
    """Whether line ends are such that each line is a row by itself, and none is endless."""
    if b"\0" in data or (b"\r" in data and data.count(b"\r") != data.count(b"\r\n")):
        return False
    at = 0
    while len(data) - at > LONGEST_LINE:
        at = data.rfind(b"\n", at, at + LONGEST_LINE) + 1
        if not at:
            return False
    return True


def _quotes_are_sound(data: bytes, delimiter: str) -> bool:
    """Whether each line with a quote is a row that the csv module reads."""
    if b'"' not in data:
        return True
    lines = [line for line in data.decode().splitlines() if '"' in line]
    try:
        return len(list(csv.reader(lines, delimiter=delimiter, strict=True))) == len(lines)
    except csv.Error:
        return False


# Rows one by one.


def _one_by_one(
    file: str, text: str, log: _Log, rows: NDArray[np.int64], settings: ClockSettings
) -> Table[Reading]:
    """Some rows through the reader of the record; of all others no line is left."""
    lines = text.split("\n")
    starts = log.cells.lines
    ends = np.append(starts[1:], len(lines) + 1)
    settling = np.flatnonzero(np.isin(starts, list(log.settling)))
    head = int(ends[0] if not len(starts) else starts[0]) - 1
    kept = list(range(head))
    for row in np.union1d(rows, settling):
        kept += range(starts[row] - 1, ends[row] - 1)
    if delimiter_of(text) != ",":  # what is told may name other lines
        shown = [""] * len(lines)
        for line in kept:
            shown[line] = lines[line]
        return read_table(file, "\n".join(shown), Reading, settings)
    table = read_table(file, "\n".join(lines[line] for line in kept), Reading, settings)
    return _in_their_lines(table, kept)


def _in_their_lines(table: Table[Reading], kept: Sequence[int]) -> Table[Reading]:
    """A table of which only some lines were read, with the lines as they stand in the file."""
    rows = tuple(replace(row, line=kept[row.line - 1] + 1) for row in table.rows)
    problems = tuple(
        replace(one, line=None if one.line is None else kept[one.line - 1] + 1)
        for one in table.problems
    )
    return replace(table, rows=rows, problems=problems)


def _fill(log: _Log, table: Table[Reading]) -> None:
    """Put the rows that could be read into their places."""
    for row in table.rows:
        place = int(np.searchsorted(log.cells.lines, row.line))
        log.plain[place] = True
        for name, array in log.arrays.items():
            value = getattr(row.record, name)
            array[place] = as_utc(value) if name == "time" else _or_unwritten(value, array)


def _or_unwritten(value: object, array: NDArray[Any]) -> object:
    if value is not None:
        return value
    return "" if array.dtype == np.object_ else np.nan


def _not_looked_at(file: str, log: _Log, rows: NDArray[np.int64]) -> Iterator[Problem]:
    if len(rows):
        message = f"{len(rows)} more rows from here on were not looked at"
        yield Problem(file, message, "mend the others first", int(log.cells.lines[rows[0]]))


# What is told of them.


def _falls(file: str, arrays: Arrays, lines: NDArray[np.int64]) -> Iterator[Problem]:
    """Rows whose total is less than the one before them in time."""
    totals = arrays["treated_total_l"]
    for before, after in falls(arrays["time"], totals):
        total, other = (f"{totals[at]:.15g} L" for at in (after, before))
        message = f"{total} is less than {other} in line {lines[before]}"
        yield Problem(file, message, ONE_METER, int(lines[after]), "treated total")


def falls(times: Moments, totals: NDArray[np.float64]) -> Iterator[tuple[int, int]]:
    """Places next to each other in time of which the later one holds less."""
    told = np.flatnonzero(~np.isnan(totals))
    moments = times.take(told)
    ordered = bool((moments[1:] >= moments[:-1]).all())
    order = told if ordered else told[np.argsort(moments, kind="stable")]
    for place in np.flatnonzero(np.diff(totals.take(order)) < 0):
        yield int(order[place]), int(order[place + 1])


def totals_of(
    file: str, data: bytes, settings: ClockSettings
) -> tuple[Moments, NDArray[np.float64], NDArray[np.int64]]:
    """Moments, totals of the water meter, and lines of the rows of a log that are sound."""
    log, _, _ = _log_of(file, data, settings)
    times, totals = log.arrays["time"], log.arrays["treated_total_l"]
    return times[log.plain], totals[log.plain], log.cells.lines[log.plain]


def limited(problems: Sequence[Problem], most: int = MOST_TOLD) -> tuple[Problem, ...]:
    """Problems sorted, at most so many of a kind, the rest of each kind counted in one line."""
    kinds: dict[tuple[str, str, str], list[Problem]] = {}
    for problem in sorted(problems, key=lambda one: one.order):
        kind = (problem.field, _VARIES.sub("", problem.message), problem.severity)
        kinds.setdefault(kind, []).append(problem)
    told = [problem for alike in kinds.values() for problem in alike[:most]]
    for alike in kinds.values():
        if len(alike) > most:
            message = f"and {len(alike) - most} more like it"
            told.append(replace(alike[most], message=message))
    return tuple(sorted(told, key=lambda one: one.order))
