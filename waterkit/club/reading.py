"""The folder walk: every file read, everything wrong with them collected, one club made of it."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from waterkit.club.checks import CHECKS, Draft
from waterkit.club.club_file import CLUB_FILE, ClubFile, read_club_file
from waterkit.club.fields import Settings
from waterkit.club.schema import Club
from waterkit.club.tables import Table, read_table
from waterkit.club.text import read_text
from waterkit.club.water_tests import TESTS_FILE, Samples, read_samples
from waterkit.errors import FieldError, InputError, Problem
from waterkit.ice.layers import LayerStep
from waterkit.purchasing.records import Item, Offer, StockLot, Supplier
from waterkit.season.demand import DrawRow
from waterkit.treatment.ion_exchange import Vessel
from waterkit.water.sample import WaterTest

R = TypeVar("R")
_NOT_KEPT = ("format", "files")
TABLES: dict[str, type] = {
    "layers": LayerStep,
    "draws": DrawRow,
    "vessels": Vessel,
    "items": Item,
    "suppliers": Supplier,
    "offers": Offer,
    "stock": StockLot,
}
LATER_FILES = ("changeouts.csv", "readings.csv", "checks.csv", "orders.csv", "spending.csv")
"""Files that a club may keep already, but that nothing reads yet."""
KNOWN_FILES = (CLUB_FILE, TESTS_FILE, *(f"{name}.csv" for name in TABLES))
_STEMS = {name.partition(".")[0]: name for name in KNOWN_FILES}


def read_club(folder: Path) -> Club:
    """The club that a folder describes; warnings stand in its ``problems``.

    Raises
    ------
    InputError
        If the folder holds an error; it lists all of them, warnings too.
    """
    club, problems = inspect_club(folder)
    if club is None:
        raise InputError(problems)
    return club


def inspect_club(folder: Path) -> tuple[Club | None, tuple[Problem, ...]]:
    """The club, None if anything is an error, and all problems, sorted by file and line."""
    folder = Path(folder)
    if not folder.is_dir():
        hint = f"name the folder that holds {CLUB_FILE}"
        return None, (Problem(str(folder), "there is no such folder", hint),)
    draft = _draft(folder)
    samples = read_samples(draft.tests)
    tables = [getattr(draft, name) for name in TABLES]
    problems = [
        *draft.head.problems,
        *(problem for table in (draft.tests, *tables) for problem in table.problems),
        *samples.problems,
        *(problem for check in CHECKS for problem in check(draft)),
        *_unread_files(folder),
    ]
    found = tuple(sorted(problems, key=lambda problem: problem.order))
    if any(problem.severity == "error" for problem in found):
        return None, found
    return _club(folder, draft, samples, found), found


def _draft(folder: Path) -> Draft:
    head = _read_head(folder / CLUB_FILE)
    tables: dict[str, Any] = {
        name: _read(folder / f"{name}.csv", record, head.settings)
        for name, record in TABLES.items()
    }
    return Draft(head, _read(folder / TESTS_FILE, WaterTest, head.settings), **tables)


def _read_head(path: Path) -> ClubFile:
    if not path.exists():
        hint = "each club's folder holds one; name and three tables are enough to begin"
        return ClubFile(problems=(Problem(CLUB_FILE, "the file is missing", hint),))
    try:
        return read_club_file(read_text(path))
    except FieldError as error:
        return ClubFile(problems=(Problem(CLUB_FILE, error.message, error.hint),))


def _read(path: Path, record: type[R], settings: Settings) -> Table[R]:
    if not path.exists():
        return Table(path.name)
    try:
        return read_table(path.name, read_text(path), record, settings)
    except FieldError as error:
        problem = Problem(path.name, error.message, error.hint)
        return Table(path.name, problems=(problem,), present=True)


def _unread_files(folder: Path) -> Iterator[Problem]:
    """Warnings about tables that nobody reads: a later version's, or with a misspelt name."""
    for path in folder.iterdir():
        if path.suffix.lower() not in (".csv", ".toml") or path.name in KNOWN_FILES:
            continue
        near = get_close_matches(path.stem.lower(), _STEMS, n=1, cutoff=0.7)
        if path.name in LATER_FILES:
            message, hint = "this version does not read this file yet", "it may stay where it is"
            yield Problem(path.name, message, hint, severity="warning")
        elif near:
            message, hint = "no file of this name is read", f"did you mean {_STEMS[near[0]]!r}?"
            yield Problem(path.name, message, hint, severity="warning")


def _club(folder: Path, draft: Draft, samples: Samples, problems: tuple[Problem, ...]) -> Club:
    values = {name: value for name, value in draft.head.values.items() if name not in _NOT_KEPT}
    tables = {name: getattr(draft, name) for name in TABLES}
    figures = [*draft.head.figures, *samples.figures]
    for table in tables.values():
        figures += table.figures
    return Club(
        **values,
        **{name: table.records for name, table in tables.items()},
        samples=samples.samples,
        folder=folder,
        figures=tuple(figures),
        problems=problems,
    )
