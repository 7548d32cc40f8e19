"""Lines copied from a phone or a mail: blocks of rows, each below a header that tells its file."""

import csv
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from waterkit.club.books import BOOKS, Kind, RowError, faults_of
from waterkit.club.columns import key_of
from waterkit.club.dialects import delimiter_of
from waterkit.club.models import slots_of
from waterkit.club.tables import Table, read_table
from waterkit.club.text import decode, problem_of
from waterkit.club.times import ClockSettings
from waterkit.errors import FieldError, Problem

_LEAST_KNOWN = 2
"""Names of columns that make a line a header, if they are at least half of it."""


def read_blocks(
    folder: Path, data: bytes, label: str, settings: ClockSettings
) -> dict[Kind, list[Any]]:
    """The records of all blocks by their kind.

    Raises
    ------
    RowError
        If lines stand under no header, or any row cannot be used; all that is wrong is told.
    """
    try:
        text = decode(data)
    except FieldError as error:
        raise RowError([problem_of(label, error)]) from error
    records: dict[Kind, list[Any]] = {}
    problems: list[Problem] = []
    for kind, before, block in _blocks(text, label):
        table: Table[Any] = read_table(label, block, BOOKS[kind].record, settings)
        problems += [
            replace(one, line=(one.line or 1) + before)
            for one in faults_of(folder, kind, table, settings)
        ]
        records.setdefault(kind, []).extend(table.records)
    if problems:
        raise RowError(problems)
    return records


def _blocks(text: str, label: str) -> Iterator[tuple[Kind, int, str]]:
    """Each block with its kind and the number of lines above it."""
    lines = text.split("\n")
    heads = {at: kind for at, line in enumerate(lines) if (kind := _headed(line))}
    first = next((at for at, line in enumerate(lines) if line.strip()), None)
    if first is None or first not in heads:
        message = "no line above names the columns" if first is not None else "there are no lines"
        hint = "begin with a header, such as: time,point,conductivity [uS/cm],temperature [degC]"
        raise RowError([Problem(label, message, hint, (first or 0) + 1)])
    for at, end in zip(heads, [*list(heads)[1:], len(lines)], strict=True):
        yield heads[at], at, "\n".join(lines[at:end])


def _headed(line: str) -> Kind | None:
    """The kind of rows that a line is the header of, if it is one."""
    cells = next(csv.reader([line], delimiter=delimiter_of(line)), [])
    keys = {key_of(cell.partition("[")[0]) for cell in cells if cell.strip()}
    known = {kind: len(keys & slots_of(book.record).keys()) for kind, book in BOOKS.items()}
    best = max(known, key=lambda kind: known[kind])
    return best if known[best] >= max(_LEAST_KNOWN, len(keys) / 2) else None
