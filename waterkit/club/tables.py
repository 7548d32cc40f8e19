"""The club's CSV files: one header, one record a row, each row with its physical line.

Columns of quantities name their unit in the header, ``depth per pass [mm]``, and are converted as a
whole; ``X low``, ``X high`` and ``basis`` may stand beside them.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

import numpy as np

from waterkit.club.cells import Cell, Key, Line, read_lines
from waterkit.club.columns import BASIS, NOTE, Column, read_header, split_rows, title_of
from waterkit.club.faults import Fault, validate
from waterkit.club.fields import BASES, Settings, Written, ranged
from waterkit.club.models import WrittenRecord, figures_of, model_of, slots_of, to_record
from waterkit.club.schema import Figure
from waterkit.club.text import problem_of
from waterkit.errors import FieldError, Problem, Severity
from waterkit.quantities import Quantity
from waterkit.units import parse_number, split_number, to_core
from waterkit.working import Basis

R = TypeVar("R")
Number = float | FieldError | None
MOST_FAULTY = 2_000
"""Rows with faults of which all is told; what follows them is counted."""


@dataclass(frozen=True, slots=True)
class Row(Generic[R]):
    """One row that could be read, with its cells as written."""

    record: R
    line: int
    cells: Mapping[Key, Cell] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Table(Generic[R]):
    """One file: the rows that could be read; ``names`` are what all its rows are called.

    A row is called by the record's first field: the vessel, the step, the item.
    """

    file: str
    rows: tuple[Row[R], ...] = ()
    names: frozenset[str] = frozenset()
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()
    present: bool = False

    @property
    def records(self) -> tuple[R, ...]:
        """The records alone."""
        return tuple(row.record for row in self.rows)

    def problem(
        self, place: tuple[Row[R], str], message: str, hint: str, severity: Severity = "error"
    ) -> Problem:
        """A problem with a row and one of its columns."""
        row, name = place
        return Problem(self.file, message, hint, row.line, name, severity)


def read_table(file: str, text: str, record: type[R], settings: Settings) -> Table[R]:
    """Every row of a file as a record, with the figures in it and all that is wrong."""
    kind: type = record
    try:
        sheet = split_rows(text)
    except FieldError as error:
        return Table(file, problems=(problem_of(file, error),), present=True)
    columns, problems = read_header(file, sheet, record)
    lines, faulty = read_lines(file, sheet, columns)
    problems += faulty
    whole = [line for line in lines if line.whole]
    names = Counter(line.text(next(iter(slots_of(kind)))) for line in lines)
    rows: list[Row[R]] = []
    figures: list[Figure] = []
    faulty_rows = 0
    for line, raw in zip(whole, _raw_rows(whole, columns, record), strict=True):
        if faulty_rows >= MOST_FAULTY:
            problems.append(_not_looked_at(file, whole, line))
            break
        model, faults = validate(model_of(kind), raw, settings)
        problems += _problems(file, line, faults, columns)
        faulty_rows += bool(faults)
        if model is not None:
            rows.append(Row(to_record(model), line.number, line.cells))
            name = line.text(next(iter(slots_of(kind))))
            place = name if names[name] == 1 else str(line.number)
            figures += _figures(f"{file}:{place}", file, line, model)
    called = frozenset(filter(None, names))
    return Table(file, tuple(rows), called, tuple(figures), tuple(problems), present=True)


def _not_looked_at(file: str, lines: Sequence[Line], first: Line) -> Problem:
    rest = sum(line.number >= first.number for line in lines)
    message = f"{rest} more rows from here on were not looked at"
    return Problem(file, message, "mend the others first", first.number)


def basis_of(cells: Mapping[Key, Cell], default: Basis) -> Basis:
    """Whose figures a row holds, by its column ``basis``."""
    told = cells.get((BASIS, "value"))
    return next((basis for basis in BASES if basis == told), default)


def _raw_rows(
    lines: Sequence[Line], columns: Sequence[Column | None], record: type
) -> Iterator[dict[str, object]]:
    """What each row gives to the record's model: texts, figures, and faults found on the way."""
    slots = slots_of(record)
    default: Any = slots[BASIS].default if BASIS in slots else "quoted"
    quantities = {column.key: column.quantity for column in columns if column and column.quantity}
    numbers = {
        (column.key, column.part): _converted(lines, column, column.quantity)
        for column in columns
        if column and column.quantity
    }
    for place, line in enumerate(lines):
        basis = basis_of(line.cells, default)
        row: dict[str, object] = {}
        for key in dict.fromkeys(key for key, _ in line.cells):
            parts = {part: cell for (of, part), cell in line.cells.items() if of == key}
            if key in quantities:
                found = {part: numbers[key, part][place] for part in parts}
                row[key] = _figure(found, basis, quantities[key])
            elif key == BASIS and key in slots:
                row[key] = basis
            elif key in slots:
                row[key] = _in_words(parts, basis, slots[key].is_figure)
        yield row


def _in_words(parts: Mapping[str, Cell], basis: Basis, figure: bool) -> object:
    """What carries its unit, if any, in the cell."""
    for cell in parts.values():
        if isinstance(cell, FieldError):
            return cell
    if "value" not in parts:
        return FieldError("has a range but no value", "write the value too")
    return {**parts, "basis": basis} if figure else parts["value"]


def _figure(parts: Mapping[str, Number], basis: Basis, quantity: Quantity) -> object:
    for number in parts.values():
        if isinstance(number, FieldError):
            return number
    if parts.get("value") is None:
        return FieldError("has a range but no value", "write the value too")
    try:
        written = Written(unit=quantity.unit, basis=basis, **parts)  # type: ignore[arg-type]
        return ranged(written, quantity)
    except FieldError as error:
        return error


def _converted(lines: Sequence[Line], column: Column, quantity: Quantity) -> list[Number]:
    """A column in core units, converted as a whole."""
    found = [_number(line.cells.get((column.key, column.part)), column) for line in lines]
    plain = np.array([one if isinstance(one, float) else np.nan for one in found])
    with np.errstate(over="ignore"):  # what grows beyond all numbers is told as not plausible
        core = np.asarray(to_core(plain, column.unit, quantity))
    return [
        float(value) if isinstance(one, float) else one
        for one, value in zip(found, core, strict=True)
    ]


def _number(text: Cell | None, column: Column) -> Number:
    if not isinstance(text, str):
        return text
    try:
        return parse_number(text)
    except FieldError as error:
        number, unit = split_number(text)
        if number and unit:
            plain = column.unit == "1"
            told = "" if plain else f", in {column.unit}: the heading names the unit"
            hint = f"write the number alone{told}"
            return FieldError(f"{text!r} is more than a number", hint)
        return error


def _figures(place: str, file: str, line: Line, model: WrittenRecord) -> Iterator[Figure]:
    counted_in = getattr(model, "unit", None) or "1"
    for path, figure, given in figures_of(model):
        unit = counted_in if figure.unit == "1" else figure.unit
        yield Figure(
            f"{place}:{title_of(str(path[-1]))}", figure.value, unit, figure.basis, figure.low,
            figure.high, figure.note or line.text(NOTE), file, line.number if given else None,
        )  # fmt: skip


def _problems(
    file: str, line: Line, faults: Sequence[Fault], columns: Sequence[Column | None]
) -> Iterator[Problem]:
    """The faults of a row, without the cells that are missing because their column is."""
    usable = {column.key for column in columns if column and column.sound}
    for fault in faults:
        if fault.message != "is missing" or fault.path[0] in usable:
            field = " ".join(title_of(str(part)) for part in fault.path)
            yield Problem(file, fault.message, fault.hint, line.number, field)
