"""The club's CSV files: one header, one record a row, each row with its physical line.

Columns of quantities name their unit in the header, ``depth per pass [mm]``, and are converted as a
whole; ``X low``, ``X high`` and ``basis`` may stand beside them.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from waterkit.club.columns import BASIS, Column, Rows, read_header, split_rows, title_of
from waterkit.club.faults import Fault, validate
from waterkit.club.fields import BASES, Settings, Written, did_you_mean, ranged, shown
from waterkit.club.models import WrittenRecord, figures_of, model_of, slots_of, to_record
from waterkit.club.schema import Figure
from waterkit.errors import FieldError, Problem
from waterkit.quantities import Quantity
from waterkit.units import parse_number, split_number, to_core

R = TypeVar("R")
Number = float | FieldError | None


@dataclass(frozen=True, slots=True)
class Row(Generic[R]):
    """One row that could be read."""

    record: R
    line: int


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


@dataclass(frozen=True, slots=True)
class Line:
    """The cells of one row that are not empty, by key and part, and the line it starts on."""

    number: int
    cells: Mapping[tuple[str, str], str]


def read_table(file: str, text: str, record: type[R], settings: Settings) -> Table[R]:
    """Every row of a file as a record, with the figures in it and all that is wrong."""
    kind: type = record
    first = (next(iter(slots_of(kind))), "value")
    try:
        header, cells = split_rows(text)
    except FieldError as error:
        problem = Problem(file, error.message, error.hint, field=error.field)
        return Table(file, problems=(problem,), present=True)
    columns, problems = read_header(file, header, record)
    lines, strays = _lines(file, cells, columns)
    problems += strays
    names = [line.cells.get(first, "") for line in lines]
    rows: list[Row[R]] = []
    figures: list[Figure] = []
    raws = _raw_rows(lines, columns, record)
    for line, name, raw in zip(lines, names, raws, strict=True):
        model, faults = validate(model_of(kind), raw, settings)
        problems += _problems(file, line, faults, columns)
        if model is not None:
            rows.append(Row(to_record(model), line.number))
            place = name if names.count(name) == 1 else str(line.number)
            figures += _figures(f"{file}:{place}", file, line, model)
    called = frozenset(filter(None, names))
    return Table(file, tuple(rows), called, tuple(figures), tuple(problems), present=True)


def _lines(
    file: str, rows: Rows, columns: Sequence[Column | None]
) -> tuple[list[Line], list[Problem]]:
    lines, problems = [], []
    for number, cells in rows:
        known: dict[tuple[str, str], str] = {}
        for place, cell in enumerate(cells):
            column = columns[place] if place < len(columns) else None
            if cell and column is None:
                hint = "a cell that holds a comma stands in double quotes"
                problems.append(Problem(file, f"{cell!r} stands under no heading", hint, number))
            elif cell and column and column.sound:
                known[column.key, column.part] = cell
        basis = known.get((BASIS, "value"), BASES[0])
        if basis not in BASES:
            message, hint = f"{shown(basis)} is no basis", did_you_mean(basis, BASES)
            problems.append(Problem(file, message, hint, number, BASIS))
            del known[BASIS, "value"]
        if known:
            lines.append(Line(number, known))
    return lines, problems


def _raw_rows(
    lines: Sequence[Line], columns: Sequence[Column | None], record: type
) -> Iterator[dict[str, object]]:
    """What each row gives to the record's model: texts, figures, and faults found on the way."""
    slots = slots_of(record)
    default = str(slots[BASIS].default) if BASIS in slots else "quoted"
    quantities = {column.key: column.quantity for column in columns if column and column.quantity}
    numbers = {
        (column.key, column.part): _converted(lines, column, column.quantity)
        for column in columns
        if column and column.quantity
    }
    for place, line in enumerate(lines):
        basis = line.cells.get((BASIS, "value"), default)
        row: dict[str, object] = {}
        for key in dict.fromkeys(key for key, _ in line.cells):
            parts = {part: cell for (of, part), cell in line.cells.items() if of == key}
            if key in quantities:
                found = {part: numbers[key, part][place] for part in parts}
                row[key] = _figure(found, basis, quantities[key])
            elif key in slots:
                figure = slots[key].is_figure
                row[key] = {**parts, "basis": basis} if figure else parts["value"]
        yield row


def _figure(parts: Mapping[str, Number], basis: str, quantity: Quantity) -> object:
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
    core = np.asarray(to_core(plain, column.unit, quantity))
    return [
        float(value) if isinstance(one, float) else one
        for one, value in zip(found, core, strict=True)
    ]


def _number(text: str | None, column: Column) -> Number:
    if text is None:
        return None
    try:
        return parse_number(text)
    except FieldError as error:
        number, unit = split_number(text)
        if number and unit:
            hint = f"write the number alone, in {column.unit}: the heading names the unit"
            return FieldError(f"{text!r} is more than a number", hint)
        return error


def _figures(place: str, file: str, line: Line, model: WrittenRecord) -> Iterator[Figure]:
    counted_in = getattr(model, "unit", None) or "1"
    for path, figure, given in figures_of(model):
        unit = counted_in if figure.unit == "1" else figure.unit
        yield Figure(
            f"{place}:{title_of(str(path[-1]))}", figure.value, unit, figure.basis, figure.low,
            figure.high, figure.note, file, line.number if given else None,
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
