"""One file of the log while rows are appended to it."""

import datetime as dt
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from waterkit.club.appending import append_bytes, bytes_of
from waterkit.club.books import BOOKS, Kind, faults_of
from waterkit.club.continuing import Style, alike, new_style, style_of
from waterkit.club.models import slots_of
from waterkit.club.tables import Table, read_table
from waterkit.club.text import decode, problem_of
from waterkit.club.times import ClockSettings, zone_of
from waterkit.errors import FieldError, InputError, Problem

_LINE_END = re.compile(rb"\r\n|\n|\r")
_NOT_THE_SAME = "close the file in every other program, look at its first line, and try again"


@dataclass(frozen=True, slots=True)
class Appended:
    """Where a row stands: the file, its line, and whether it stood there before."""

    path: Path
    line: int
    duplicate: bool = False


class Page:
    """A file with the rows that are to follow; whoever makes one holds the file's lock.

    ``end`` counts the bytes that stay, ``lead`` comes before the first new row: a header, or what a
    torn last line needs. ``places`` tells where the rows stand, those included that did before.
    """

    def __init__(
        self, kind: Kind, path: Path, style: Style, text: str, end: int, lead: str, line_end: str
    ) -> None:
        self.kind, self.path, self.style, self.text = kind, path, style, text
        self.end, self.lead, self.line_end = end, lead, line_end
        self.rows: list[list[str]] = []
        self.places: list[Appended] = []

    def add(self, records: Sequence[Any]) -> list[Problem]:
        """Put records at the end, those that stand there already left out; tell what is wrong."""
        try:
            rows = [self.style.cells(record) for record in records]
        except InputError as error:
            return list(error.problems)
        if problems := self._faults(rows, records):
            return problems
        for row, record in zip(rows, records, strict=True):
            line = self._line_of(row, record)
            self.places.append(Appended(self.path, line or self._next, line is not None))
            if line is None:
                self.rows.append(row)
        return []

    def write(self) -> None:
        """Put the new rows on the disk."""
        if self.rows:
            text = self.lead + "".join(self.style.line(row) + "\n" for row in self.rows)
            append_bytes(self.path, text.replace("\n", self.line_end).encode(), self.end)

    @property
    def _next(self) -> int:
        """The line of the next row."""
        return (self.text + self.lead).count("\n") + len(self.rows) + 1

    def _faults(self, rows: Sequence[Sequence[str]], records: Sequence[Any]) -> list[Problem]:
        """What the readers of the file would say of the rows."""
        style, file = self.style, self.path.name
        text = "".join(style.line(row) + "\n" for row in (style.header, *rows))
        table: Table[Any] = read_table(file, text, style.record, style.settings)
        problems = faults_of(self.path.parent, self.kind, table, style.settings)
        if not problems and not _same(table.records, records):
            message = "the rows would not be read as they are meant"
            problems = [Problem(file, message, _NOT_THE_SAME)]
        return [Problem(file, one.message, one.hint, None, one.field) for one in problems]

    def _line_of(self, row: Sequence[str], record: Any) -> int | None:
        """The line on which the same row stands already."""
        if row in self.rows:
            return self._next - len(self.rows) + self.rows.index(row)
        is_same = self.style.finder(row)
        for start, line in self._lines_on(_day_of(record, self.style.settings)):
            if is_same(line):
                return self.text.count("\n", 0, start) + 1
        return None

    def _lines_on(self, day: dt.date) -> Iterator[tuple[int, str]]:
        """The lines that name a day, each with the place where it starts."""
        for text in _ways_to_write(day):
            at = self.text.find(text)
            while at >= 0:
                start = self.text.rfind("\n", 0, at) + 1
                end = self.text.find("\n", at)
                end = len(self.text) if end < 0 else end
                yield start, self.text[start:end]
                at = self.text.find(text, end)


def _same(read: Sequence[Any], meant: Sequence[Any]) -> bool:
    return len(read) == len(meant) and all(map(alike, read, meant))


def _day_of(record: Any, settings: ClockSettings) -> dt.date:
    """The day that a row is of: its first date, by the club's clock."""
    kind: type = type(record)
    for slot in slots_of(kind).values():
        value = getattr(record, slot.attribute)
        if isinstance(value, dt.datetime):
            return value.astimezone(zone_of(settings.timezone)).date()
        if isinstance(value, dt.date):
            return value
    raise TypeError(f"{type(record).__name__} has no date")


def _ways_to_write(day: dt.date) -> Iterator[str]:
    yield day.isoformat()
    for mark in "./":
        for first, second in ((day.day, day.month), (day.month, day.day)):
            for form in ("{}{}{}{}{}", "{:02}{}{:02}{}{}"):
                yield form.format(first, mark, second, mark, day.year)


def open_page(folder: Path, kind: Kind, settings: ClockSettings) -> Page:
    """A file as it stands, ready for rows.

    Raises
    ------
    InputError
        If it cannot be continued.
    """
    book = BOOKS[kind]
    path = folder / book.file
    data = _without_half_a_letter(bytes_of(path))
    found = _LINE_END.search(data)
    line_end = found.group().decode() if found else "\n"
    try:
        text = decode(data)
    except FieldError as error:
        raise InputError([problem_of(book.file, error)]) from error
    if text.strip():
        lead = "" if text.endswith("\n") else '"\n' if text.count('"') % 2 else "\n"
        style = style_of(book.file, text + lead, book.record, settings)
    else:
        style = new_style(book.file, book.record, settings)
        lead = style.line(style.header) + "\n"
    return Page(kind, path, style, text, len(data), lead, line_end)


def _without_half_a_letter(data: bytes) -> bytes:
    """The bytes without a letter at their end that a crash has cut in two."""
    try:
        data.decode()
    except UnicodeDecodeError as error:
        if error.reason == "unexpected end of data":
            return data[: error.start]
    return data
