"""The files that a log is kept in, and what one row of each must be."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from waterkit.club.club_file import CLUB_FILE, ClubFile, read_club_file
from waterkit.club.columns import key_of, title_of
from waterkit.club.draft import Draft
from waterkit.club.faults import validate
from waterkit.club.fields import shown
from waterkit.club.ice_checks import check_changeouts, check_spots
from waterkit.club.mentions import (
    Known,
    check_days,
    check_mentions,
    known_of,
    late,
    stranger,
)
from waterkit.club.models import core, model_of
from waterkit.club.purchase_checks import check_orders
from waterkit.club.tables import Row, Table, read_table
from waterkit.club.text import problem_of, read_text
from waterkit.club.times import ClockSettings, is_zone
from waterkit.club.toml_lines import load_toml
from waterkit.club.water_tests import TESTS_FILE
from waterkit.errors import FieldError, InputError, Problem
from waterkit.purchasing.records import Bill, Item, OpenOrder, Supplier
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Vessel
from waterkit.units import split_number
from waterkit.water.readings import Reading, SpotCheck


class RowError(InputError):
    """A row that cannot be written as it was told: nothing is wrong with the club's files."""


Kind = Literal["reading", "changeout", "check", "order", "bill"]
Values = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Book:
    """A file that rows are appended to: its name in the folder and what one row is."""

    file: str
    record: type


BOOKS: Mapping[Kind, Book] = {
    "reading": Book("readings.csv", Reading),
    "changeout": Book("changeouts.csv", VesselChange),
    "check": Book("checks.csv", SpotCheck),
    "order": Book("orders.csv", OpenOrder),
    "bill": Book("spending.csv", Bill),
}
_BESIDE: Mapping[Kind, Mapping[str, type]] = {
    "reading": {"vessels": Vessel},
    "changeout": {"vessels": Vessel},
    "order": {"items": Item, "suppliers": Supplier},
}
"""Tables that rows of a kind are looked at beside."""
_CHECKS = {"check": check_spots, "changeout": check_changeouts, "order": check_orders}


def settings_of(folder: Path) -> ClockSettings:
    """What club.toml says of dates and of the clock.

    Raises
    ------
    InputError
        If there is no club.toml, or it tells no time zone that is known.
    """
    path = Path(folder) / CLUB_FILE
    try:
        if not path.exists():
            raise FieldError(f"there is none in {folder}", "name the folder of a club")
        told = path.stat()
        return _settings(path, told.st_mtime_ns, told.st_size)
    except FieldError as error:
        raise InputError([problem_of(CLUB_FILE, error)]) from error


@lru_cache(maxsize=8)
def _settings(path: Path, *_: int) -> ClockSettings:
    """The settings in a file as it is now; it is read again only once it was changed."""
    raw, _lines = load_toml(read_text(path))
    files, zone = raw.get("files"), raw.get("timezone", "UTC")
    if not isinstance(zone, str) or not is_zone(zone):
        hint = "write a name such as Europe/Berlin or America/Toronto"
        raise FieldError(f"{shown(zone)} is no time zone", hint, "timezone")
    dates = files.get("dates") if isinstance(files, Mapping) else None
    return ClockSettings(dates if dates in ("dmy", "mdy") else "", zone)


def values_of(
    book: Book, values: Values, settings: ClockSettings, *, part: bool = False
) -> dict[str, Any]:
    """What somebody wrote in words, by the fields of the record; ``part`` of a row may do.

    Raises
    ------
    RowError
        With everything that is wrong.
    """
    raw = {key_of(name): value for name, value in values.items() if value not in (None, "")}
    if book.record is SpotCheck and "unit" not in raw and isinstance(raw.get("value"), str):
        raw["value"], unit = split_number(str(raw["value"]))
        raw |= {"unit": unit} if unit else {}
    model, faults = validate(model_of(book.record, part), raw, settings)
    if model is None:
        raise RowError(
            [
                Problem(book.file, fault.message, fault.hint, field=title_of(str(fault.path[0])))
                for fault in faults
            ]
        )
    return {name: core(getattr(model, name)) for name in model.model_fields_set}


def faults_of(
    folder: Path, kind: Kind, table: Table[Any], settings: ClockSettings
) -> list[Problem]:
    """What is wrong with rows: by themselves, and beside the club's other files.

    A name that is not listed, or a day long after the season, is an error in a row that is written
    now, though it is a warning in one that stands there.
    """
    tables: dict[str, Any] = {
        name: _read(folder / f"{name}.csv", record, settings)
        for name, record in _BESIDE.get(kind, {}).items()
    }
    if kind != "reading":
        tables[BOOKS[kind].file.removesuffix(".csv")] = table
    draft = Draft(_head(folder), Table(TESTS_FILE), **tables)
    problems = list(table.problems)
    if check := _CHECKS.get(kind):
        problems += [one for one in check(draft) if one.severity == "error"]
    slips = [*check_mentions(draft), *check_days(draft)]
    if kind == "reading":
        slips += [slip for row in table.rows for slip in _slips(table, row, known_of(draft))]
    return [*problems, *(replace(slip, severity="error") for slip in slips)]


def _slips(table: Table[Reading], row: Row[Reading], known: Known) -> Iterator[Problem]:
    for column, (names, file) in known.names.items():
        if told := stranger(getattr(row.record, column), names, file):
            yield table.problem((row, column), *told)
    if told := late(row.record.time.date(), known.last_day):
        yield table.problem((row, "time"), *told)


def _head(folder: Path) -> ClubFile:
    path = folder / CLUB_FILE
    if not path.exists():
        return ClubFile()
    told = path.stat()
    return _head_of(path, told.st_mtime_ns, told.st_size)


@lru_cache(maxsize=8)
def _head_of(path: Path, *_: int) -> ClubFile:
    return read_club_file(read_text(path))


def _read(path: Path, record: type, settings: ClockSettings) -> Table[Any]:
    if not path.exists():
        return Table(path.name)
    try:
        table: Table[Any] = read_table(path.name, read_text(path), record, settings)
    except FieldError:
        return Table(path.name, present=True)
    return replace(table, problems=())
