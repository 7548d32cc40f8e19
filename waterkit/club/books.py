"""The files that a log is kept in, and what one row of each must be."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from waterkit.club.club_file import CLUB_FILE, ClubFile
from waterkit.club.columns import key_of, title_of
from waterkit.club.draft import Draft
from waterkit.club.faults import validate
from waterkit.club.fields import shown
from waterkit.club.ice_checks import check_changeouts, check_spots
from waterkit.club.models import core, model_of
from waterkit.club.purchase_checks import check_orders
from waterkit.club.tables import Table, read_table
from waterkit.club.text import problem_of, read_text
from waterkit.club.times import ClockSettings, is_zone
from waterkit.club.toml_lines import load_toml
from waterkit.club.water_tests import TESTS_FILE
from waterkit.errors import FieldError, InputError, Problem
from waterkit.purchasing.records import Bill, Item, OpenOrder, Supplier
from waterkit.treatment.experience import VesselChange
from waterkit.units import split_number
from waterkit.water.readings import Reading, SpotCheck

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
    InputError
        With everything that is wrong.
    """
    raw = {key_of(name): value for name, value in values.items() if value not in (None, "")}
    if book.record is SpotCheck and "unit" not in raw and isinstance(raw.get("value"), str):
        raw["value"], unit = split_number(str(raw["value"]))
        raw |= {"unit": unit} if unit else {}
    model, faults = validate(model_of(book.record, part), raw, settings)
    if model is None:
        raise InputError(
            [
                Problem(book.file, fault.message, fault.hint, field=title_of(str(fault.path[0])))
                for fault in faults
            ]
        )
    return {name: core(getattr(model, name)) for name in model.model_fields_set}


def faults_of(
    folder: Path, kind: Kind, table: Table[Any], settings: ClockSettings
) -> list[Problem]:
    """What is wrong with rows: by themselves, and beside the club's other files."""
    problems = list(table.problems)
    if check := _CHECKS.get(kind):
        beside = {"items": Item, "suppliers": Supplier} if kind == "order" else {}
        tables: dict[str, Any] = {
            name: _read(folder / f"{name}.csv", record, settings) for name, record in beside.items()
        }
        tables[BOOKS[kind].file.removesuffix(".csv")] = table
        problems += check(Draft(ClubFile(), Table(TESTS_FILE), **tables))
    return [problem for problem in problems if problem.severity == "error"]


def _read(path: Path, record: type, settings: ClockSettings) -> Table[Any]:
    if not path.exists():
        return Table(path.name)
    try:
        table: Table[Any] = read_table(path.name, read_text(path), record, settings)
    except FieldError:
        return Table(path.name, present=True)
    return replace(table, problems=())
