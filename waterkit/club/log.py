"""The club's log: rows appended to its files, and rows of them marked as done or received.

A row is read by the same readers as the files before it is written: what is wrong is told, and
then nothing is written at all. A row that stands there already is told and not doubled.
"""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from waterkit.club.appending import locked
from waterkit.club.books import BOOKS, Kind, RowError, Values, settings_of, values_of
from waterkit.club.log_blocks import read_blocks
from waterkit.club.log_changes import Change, change_row
from waterkit.club.log_page import Appended, Page, open_page
from waterkit.club.times import ClockSettings
from waterkit.errors import InputError, MachineError, Problem

__all__ = [
    "Appended", "Change", "Kind", "RowError", "append_lines", "append_row", "append_rows",
    "change_row",
]  # fmt: skip


def append_row(folder: Path, kind: Kind, values: Values) -> Appended:
    """Append one row to the file of its kind; it is on the disk once this returns.

    ``values`` maps names of columns to what is to stand there, quantities with their unit:
    ``{"point": "tank", "conductivity": "1.3 uS/cm"}``. The file is continued in its own style.

    Raises
    ------
    RowError
        If the row cannot be used; nothing is written.
    InputError
        If the file cannot be continued; nothing is written.
    MachineError
        If the machine refuses; nothing is half written.
    """
    (appended,) = append_rows(folder, kind, [values])
    return appended


def append_rows(folder: Path, kind: Kind, rows: Iterable[Values]) -> tuple[Appended, ...]:
    """Append rows to the file of their kind, all of them or none; see :func:`append_row`."""
    settings, book = settings_of(folder), BOOKS[kind]
    records: list[Any] = []
    problems: list[Problem] = []
    for values in rows:
        try:
            records.append(book.record(**values_of(book, values, settings)))
        except InputError as error:
            problems += error.problems
    if problems:
        raise RowError(problems)
    return _append(Path(folder), {kind: records}, settings)


def append_lines(folder: Path, data: bytes, label: str) -> tuple[Appended, ...]:
    """Append lines under headers, as a phone hands them over: each header tells the file.

    ``label`` names the lines in problems. All rows are appended, or none.

    Raises
    ------
    RowError
        If a line cannot be used; nothing is written.
    InputError
        If a file cannot be continued; nothing is written.
    MachineError
        If the machine refuses; see :func:`append_row`.
    """
    settings = settings_of(folder)
    return _append(Path(folder), read_blocks(Path(folder), data, label, settings), settings)


def _append(
    folder: Path, batches: Mapping[Kind, Sequence[Any]], settings: ClockSettings
) -> tuple[Appended, ...]:
    with ExitStack() as locks:
        for kind in sorted(batches):  # in one order, so that no two writers wait for each other
            locks.enter_context(locked(folder / BOOKS[kind].file))
        pages = [open_page(folder, kind, settings) for kind in batches]
        problems: list[Problem] = []
        for page, records in zip(pages, batches.values(), strict=True):
            problems += page.add(records)
        if problems:
            raise _wrong(problems)
        _write(pages)
    return tuple(place for page in pages for place in page.places)


def _wrong(problems: Sequence[Problem]) -> InputError:
    """What stands in a line of a file is wrong with the file, all else with the rows told."""
    in_files = any(problem.line is not None for problem in problems)
    return InputError(list(problems)) if in_files else RowError(list(problems))


def _write(pages: Sequence[Page]) -> None:
    """Put the rows of all pages on the disk, or those of none."""
    for number, page in enumerate(pages):
        try:
            page.write()
        except MachineError:
            for other in pages[:number]:
                other.take_back()
            raise
