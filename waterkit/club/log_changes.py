"""One row of a file changed: a step of the layer plan done, an order received."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

from waterkit.club.appending import bytes_of, locked, replace_bytes
from waterkit.club.books import Book, RowError, Values, faults_of, settings_of, values_of
from waterkit.club.columns import title_of
from waterkit.club.continuing import Style, alike, style_of
from waterkit.club.fields import did_you_mean
from waterkit.club.log_page import Appended
from waterkit.club.models import slots_of
from waterkit.club.tables import Row, Table, read_table
from waterkit.club.text import decode, problem_of
from waterkit.club.times import ClockSettings
from waterkit.errors import FieldError, InputError, Problem
from waterkit.ice.layers import LayerStep
from waterkit.purchasing.records import OpenOrder

Change = Literal["done", "received"]
_BOOKS: Mapping[Change, Book] = {
    "done": Book("layers.csv", LayerStep),
    "received": Book("orders.csv", OpenOrder),
}


def change_row(folder: Path, change: Change, which: Values, values: Values) -> Appended:
    """Fill cells of one row; all other rows stay as they are, to the last byte.

    ``which`` names the row by some of its columns, ``values`` tells what is to stand in others:
    ``change_row(folder, "done", {"step": "flood"}, {"done on": "2027-09-20"})``. What stands there
    already is told as a duplicate.

    Raises
    ------
    RowError
        If no one row is meant, a value cannot be used, or a cell holds something else already;
        the file is then as it was.
    InputError
        If the file cannot be continued; it is then as it was.
    MachineError
        If the machine refuses; the file is then as it was.
    """
    book, settings = _BOOKS[change], settings_of(folder)
    path = Path(folder) / book.file
    wanted = values_of(book, which, settings, part=True)
    told = values_of(book, values, settings, part=True)
    with locked(path):
        data = bytes_of(path)
        text = _text(book.file, data)
        style = style_of(book.file, text, book.record, settings)
        style.need(slot.key for slot in slots_of(book.record).values() if slot.attribute in told)
        table: Table[Any] = read_table(book.file, text, book.record, settings)
        row = _the_row(table, wanted, told)
        if _holds(row, told):
            return Appended(path, row.line, duplicate=True)
        changed = _with_cells(data, style, row.line, told)
        _check(Path(folder), change, table, row, told, changed, settings)
        replace_bytes(path, changed)
    return Appended(path, row.line)


def _text(file: str, data: bytes) -> str:
    try:
        text = decode(data)
        if not text.strip():
            raise FieldError("the file is missing", "write it first: docs/folder.md tells how")
    except FieldError as error:
        raise InputError([problem_of(file, error)]) from error
    return text


def _holds(row: Row[Any], told: Mapping[str, Any]) -> bool:
    return all(alike(getattr(row.record, name), value) for name, value in told.items())


def _the_row(table: Table[Any], wanted: Mapping[str, Any], told: Mapping[str, Any]) -> Row[Any]:
    """The one row that is meant: the one that holds it already, else the one that can take it."""
    meant = [row for row in table.rows if _holds(row, wanted)]
    if not meant:
        name = next(iter(wanted))
        known = {str(getattr(row.record, name)) for row in table.rows}
        message = f"no row has {', '.join(repr(str(value)) for value in wanted.values())}"
        hint = did_you_mean(str(wanted[name]), sorted(known)) if known else "look at the file"
        raise RowError([Problem(table.file, message, hint, field=title_of(name))])
    if there := [row for row in meant if _holds(row, told)]:
        return there[0]
    free = [
        row
        for row in meant
        if all(getattr(row.record, name) in (None, value) for name, value in told.items())
    ]
    if not free:
        raise RowError([_taken(table, meant[-1], told)])
    if len(free) > 1:
        message = f"more than one row is meant: lines {', '.join(str(row.line) for row in free)}"
        raise RowError([Problem(table.file, message, "say more of the one that you mean")])
    return free[0]


def _taken(table: Table[Any], row: Row[Any], told: Mapping[str, Any]) -> Problem:
    name, old = next(
        (name, old)
        for name, value in told.items()
        if (old := getattr(row.record, name)) not in (None, value)
    )
    kind: type = type(row.record)
    key = next(slot.key for slot in slots_of(kind).values() if slot.attribute == name)
    message, hint = f"{old} stands there already", "if it is wrong, mend it in the file"
    return table.problem((row, title_of(key)), message, hint)


def _with_cells(data: bytes, style: Style, line: int, told: Mapping[str, Any]) -> bytes:
    """The file with some cells of one row written anew, all other bytes as they are."""
    lines = data.splitlines(keepends=True)
    end = line
    while b"".join(lines[line - 1 : end]).count(b'"') % 2 and end < len(lines):
        end += 1  # a quoted cell goes on in the next line
    piece = b"".join(lines[line - 1 : end])
    body = piece.rstrip(b"\r\n")
    cells = _raw_cells(body.decode(), style.delimiter)
    for slot in slots_of(style.record).values():
        if slot.attribute in told:
            place = style.place(slot.key)
            cells += [""] * (place + 1 - len(cells))
            column = style.columns[place]
            assert column is not None
            cells[place] = style.line([style.cell(column, told[slot.attribute])])
    row = style.delimiter.join(cells).encode() + piece[len(body) :]
    return b"".join([*lines[: line - 1], row, *lines[end:]])


def _raw_cells(body: str, delimiter: str) -> list[str]:
    """The cells of a row with their quotes."""
    cells, start, quoted = list[str](), 0, False
    for at, letter in enumerate(body):
        if letter == '"':
            quoted = not quoted
        elif letter == delimiter and not quoted:
            cells.append(body[start:at])
            start = at + 1
    return [*cells, body[start:]]


def _check(
    folder: Path, change: Change, before: Table[Any], row: Row[Any], told: Mapping[str, Any],
    changed: bytes, settings: ClockSettings,
) -> None:  # fmt: skip
    """Raise InputError unless the row is read as it is meant, and all others as before."""
    book = _BOOKS[change]
    after: Table[Any] = read_table(before.file, decode(changed), book.record, settings)
    problems = faults_of(folder, "order", after, settings) if change == "received" else []
    wrong = [one for one in problems if one.line == row.line]
    meant = {one.line: one.record for one in before.rows}
    meant[row.line] = replace(row.record, **told)
    read = {one.line: one.record for one in after.rows}
    same = read.keys() == meant.keys() and all(alike(read[line], meant[line]) for line in meant)
    if not wrong and not same:
        message = "the row would not be read as it is meant"
        wrong = [Problem(before.file, message, "change it in the file itself", row.line)]
    if wrong:
        raise RowError(wrong)
