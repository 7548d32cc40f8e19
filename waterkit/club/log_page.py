"""One file of the log while rows are appended to it."""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from waterkit.club.appending import append_bytes, bytes_of, take_back
from waterkit.club.books import BOOKS, Kind, faults_of
from waterkit.club.columns import split_rows
from waterkit.club.continuing import Style, alike, new_style, style_of
from waterkit.club.log_totals import new_falls, totals_there
from waterkit.club.models import slots_of
from waterkit.club.readings import ONE_METER
from waterkit.club.tables import Table, read_table
from waterkit.club.text import decode, problem_of
from waterkit.club.times import ClockSettings
from waterkit.errors import FieldError, InputError, Problem

CLOCKS = tuple(dt.timedelta(hours=hours) for hours in (-12, 0, 14))
"""What clocks on earth show beside UTC: the least, and the most."""
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
        if problems := self._faults(rows, records) or self._falls(records):
            return problems
        for row, record in zip(rows, records, strict=True):
            line = self._line_of(row, record)
            self.places.append(Appended(self.path, line or self._next, line is not None))
            if line is None:
                self.rows.append(row)
        return []

    def take_back(self) -> None:
        """Take the new rows off the disk again."""
        if self.rows:
            take_back(self.path, self.end)

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

    def _falls(self, records: Sequence[Any]) -> list[Problem]:
        """Totals of the water meter that would fall from one row to the next."""
        if not any(getattr(record, "treated_total_l", None) for record in records):
            return []
        totals = totals_there(self.kind, self.path.name, self.text, self.style.settings)
        found = new_falls(totals, records)
        return [Problem(self.path.name, told, ONE_METER, None, "treated total") for told in found]

    def _line_of(self, row: Sequence[str], record: Any) -> int | None:
        """The line on which the same row stands already."""
        if row in self.rows:
            return self._next - len(self.rows) + self.rows.index(row)
        is_same = self.style.finder(row)
        for start, line in self._lines_on(_days_of(record)):
            if is_same(line):
                return self.text.count("\n", 0, start) + 1
        return None

    def _lines_on(self, days: Iterable[dt.date]) -> Iterator[tuple[int, str]]:
        """The lines that name one of some days, each with the place where it starts."""
        slashed = bool(self.style.settings.dates)
        for text in (text for day in days for text in _ways_to_write(day, slashed)):
            at = self.text.find(text)
            while at >= 0:
                start = self.text.rfind("\n", 0, at) + 1
                end = self.text.find("\n", at)
                end = len(self.text) if end < 0 else end
                yield start, self.text[start:end]
                at = self.text.find(text, end)


def _same(read: Sequence[Any], meant: Sequence[Any]) -> bool:
    return len(read) == len(meant) and all(map(alike, read, meant))


def _days_of(record: Any) -> list[dt.date]:
    """The days that a row may be written with: its first date, by any clock on earth."""
    kind: type = type(record)
    for slot in slots_of(kind).values():
        value = getattr(record, slot.attribute)
        if isinstance(value, dt.datetime):
            utc = value.astimezone(dt.UTC)
            return sorted({(utc + offset).date() for offset in CLOCKS})
        if isinstance(value, dt.date):
            return [value]
    raise TypeError(f"{type(record).__name__} has no date")


def _ways_to_write(day: dt.date, slashed: bool) -> Iterator[str]:
    """What a line holds that names a day, with and without noughts in front."""
    days, months = ({f"{number}", f"{number:02}"} for number in (day.day, day.month))
    yield from (f"{day.year}-{month}-{number}" for month in months for number in days)
    yield from (f"{day.day}.{month}.{day.year}" for month in months)
    if slashed:
        yield from (f"{day.day}/{month}/{day.year}" for month in months)
        yield from (f"{day.month}/{number}/{day.year}" for number in days)


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
        lead = _lead(text)
        style = style_of(book.file, text + lead, book.record, settings)
    else:
        style = new_style(book.file, book.record, settings)
        lead = style.line(style.header) + "\n"
    return Page(kind, path, style, text, len(data), lead, line_end)


def _lead(text: str) -> str:
    """What a last line needs before a row can follow: its end, and a quote if it was torn there.

    A quote that was opened further up is left open, and told.
    """
    if text.endswith("\n"):
        return ""
    above = text[: text.rfind("\n") + 1]
    torn = text.count('"') % 2 and not above.count('"') % 2
    return '"\n' if torn and not _is_table(text) else "\n"


def _is_table(text: str) -> bool:
    try:
        split_rows(text)
    except FieldError:
        return False
    return True


def _without_half_a_letter(data: bytes) -> bytes:
    """The bytes without a letter at their end that a crash has cut in two."""
    try:
        data.decode()
    except UnicodeDecodeError as error:
        if error.reason == "unexpected end of data":
            return data[: error.start]
    return data
