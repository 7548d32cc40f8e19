"""The folder walk: every file read, everything wrong with them collected, one club made of it.

An error breaks the part of the club that it is about; all other parts are there. Only where
club.toml cannot be parsed, or its head, rink or season holds an error, is there no club at all.
"""

import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any, TypeVar

from waterkit.club.checks import CHECKS
from waterkit.club.club_file import CLUB_FILE, ClubFile, lay_over, part_of, read_club_file
from waterkit.club.draft import Draft
from waterkit.club.fields import Settings
from waterkit.club.mentions import known_of
from waterkit.club.readings import READINGS_FILE, limited, read_readings
from waterkit.club.scenarios import read_scenarios
from waterkit.club.schema import Club, Figure, Scenario
from waterkit.club.tables import Table, read_table
from waterkit.club.text import is_there, problem_of, read_text
from waterkit.club.water_tests import TESTS_FILE, Samples, read_samples
from waterkit.errors import FieldError, InputError, Problem
from waterkit.ice.layers import LayerStep
from waterkit.purchasing.records import Bill, Item, Offer, OpenOrder, StockLot, Supplier
from waterkit.season.demand import DrawRow
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Vessel
from waterkit.water.readings import Readings, SpotCheck
from waterkit.water.sample import WaterTest

R = TypeVar("R")
Parts = Mapping[str, tuple[Problem, ...]]
MOST_ALIKE = 500
"""Problems of one kind in one file that are listed; the rest is counted."""
_OTHER_KINDS = (
    "txt", "csv.txt", "toml.txt", "tsv", "xlsx", "xls", "ods", "numbers", "csv.csv", "csv.bak",
)  # fmt: skip
"""What people save a table as by mistake."""
_NOT_KEPT = ("format", "files")
_LONG = re.compile(r"'([^']{40})[^']{40,}'")
TABLES: dict[str, type] = {
    "layers": LayerStep,
    "draws": DrawRow,
    "vessels": Vessel,
    "changeouts": VesselChange,
    "checks": SpotCheck,
    "items": Item,
    "suppliers": Supplier,
    "offers": Offer,
    "stock": StockLot,
    "orders": OpenOrder,
    "spending": Bill,
}
REPLACEABLE = (TESTS_FILE, *(f"{name}.csv" for name in TABLES))
KNOWN_FILES = (CLUB_FILE, *REPLACEABLE, READINGS_FILE)
_STEMS = {name.partition(".")[0]: name for name in KNOWN_FILES}


def read_club(folder: Path) -> Club:
    """The club that a folder describes; warnings stand in its ``problems``.

    Raises
    ------
    InputError
        If the folder holds an error; it lists all of them, warnings too.
    """
    club, problems = inspect_club(folder)
    if club is None or any(problem.severity == "error" for problem in problems):
        raise InputError(problems)
    return club


def inspect_club(folder: Path) -> tuple[Club | None, tuple[Problem, ...]]:
    """The club as far as it could be read, and all problems, sorted by file and line.

    Parts that hold an error are left at their defaults and listed in ``broken``. The club is None
    where club.toml cannot be parsed, or its head, ``[rink]`` or ``[season]`` holds an error.
    """
    folder = Path(folder)
    if not folder.is_dir():
        hint = f"name the folder that holds {CLUB_FILE}"
        message = "there is no such folder"
        if folder.exists():
            message, hint = "is a file, not a folder", f"{hint}: {folder.parent}"
        return None, (Problem(str(folder), message, hint),)
    draft = _draft(folder)
    scenarios, told = read_scenarios(folder, REPLACEABLE)
    named = {name for scenario in scenarios for name in scenario.replaces.values()}
    plain = _problems_of(draft)
    told += tuple(p for one in scenarios for p in _only_with(folder, draft, one, plain))
    club, problems = _assembled(folder, draft, plain, (*told, *_unread_files(folder, named)))
    if club is None:
        return None, problems
    broken = {problem.file for problem in told if problem.severity == "error"}
    sound = tuple(one for one in scenarios if broken.isdisjoint((one.file, *one.replaces.values())))
    return dataclasses.replace(club, scenarios=sound), problems


def read_scenario(folder: Path, scenario: Scenario) -> Club:
    """The club with a scenario laid over it, as far as it could be read.

    Raises
    ------
    InputError
        If there is no club; see :func:`inspect_club`.
    """
    draft = _with(Path(folder), _draft(Path(folder)), scenario)
    club, problems = _assembled(Path(folder), draft, _problems_of(draft))
    if club is None:
        raise InputError(problems)
    return club


def _draft(folder: Path) -> Draft:
    head = _read_head(folder / CLUB_FILE)
    tables: dict[str, Any] = {
        name: _read(folder, f"{name}.csv", record, head.settings) for name, record in TABLES.items()
    }
    return Draft(head, _read(folder, TESTS_FILE, WaterTest, head.settings), **tables)


def _read_head(path: Path) -> ClubFile:
    if not is_there(path):
        hint = "each club's folder holds one; name and three tables are enough to begin"
        return ClubFile(problems=(Problem(CLUB_FILE, "the file is missing", hint),))
    try:
        return read_club_file(read_text(path))
    except FieldError as error:
        return ClubFile(problems=(problem_of(CLUB_FILE, error),))


def _read(folder: Path, name: str, record: type[R], settings: Settings) -> Table[R]:
    if not is_there(folder / name):
        return Table(name)
    try:
        return read_table(name, read_text(folder / name), record, settings)
    except FieldError as error:
        return Table(name, problems=(problem_of(name, error),), present=True)


def _with(folder: Path, draft: Draft, scenario: Scenario) -> Draft:
    """The draft with a scenario laid over it; only what is replaced is read again."""
    head = lay_over(draft.head, scenario)
    tables: dict[str, Any] = {}
    for name, other in scenario.replaces.items():
        part = "tests" if name == TESTS_FILE else name.removesuffix(".csv")
        tables[part] = _read(folder, other, TABLES.get(part, WaterTest), head.settings)
    return dataclasses.replace(draft, head=head, **tables)


def _problems_of(draft: Draft) -> tuple[Problem, ...]:
    tables = (draft.tests, *(getattr(draft, name) for name in TABLES))
    return (
        *draft.head.problems,
        *(problem for table in tables for problem in table.problems),
        *read_samples(draft.tests).problems,
        *(problem for check in CHECKS for problem in check(draft)),
    )


def _only_with(
    folder: Path, draft: Draft, scenario: Scenario, plain: Iterable[Problem]
) -> Iterator[Problem]:
    """What is wrong with a scenario laid over the club, but not with the club alone."""
    if not draft.head.parsed:
        return
    known, own = set(plain), {scenario.file, *scenario.replaces.values()}
    for problem in _problems_of(_with(folder, draft, scenario)):
        if problem in known:
            continue
        if problem.file in own:
            yield problem
        else:
            message = f"with it, {problem}"
            yield Problem(scenario.file, message, problem.hint, severity=problem.severity)


def _assembled(
    folder: Path, draft: Draft, plain: tuple[Problem, ...], told: tuple[Problem, ...] = ()
) -> tuple[Club | None, tuple[Problem, ...]]:
    """The club of a draft as far as it is sound, and all problems: its own, others, the log's."""
    readings, faults = _readings(folder, draft)
    every = dict.fromkeys((*plain, *told, *faults))
    problems = _listed(map(_shortened, every))
    broken = _broken(draft, problems)
    if not draft.head.parsed or "" in broken:
        return None, problems
    return _club(folder, draft, readings, problems, broken), problems


def _readings(folder: Path, draft: Draft) -> tuple[Readings | None, tuple[Problem, ...]]:
    zone, dates = draft.of("timezone") or "UTC", draft.head.settings.dates
    return read_readings(folder, zone, dates, known_of(draft))


def _listed(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems in order; of thousands alike in one file, the first ones and how many more."""
    by_file: dict[str, list[Problem]] = {}
    for problem in problems:
        by_file.setdefault(problem.file, []).append(problem)
    told = [one for alike in by_file.values() for one in limited(alike, MOST_ALIKE)]
    return tuple(sorted(told, key=lambda problem: problem.order))


def _shortened(problem: Problem) -> Problem:
    """The problem without what nobody reads of a cell that is far too long."""
    message = _LONG.sub(r"'\1 ...'", problem.message)
    return dataclasses.replace(problem, message=message) if message != problem.message else problem


def _broken(draft: Draft, problems: Iterable[Problem]) -> Parts:
    """The errors of each part of the club that holds some; the part of its head is empty."""
    found: dict[str, tuple[Problem, ...]] = {}
    for problem in problems:
        part = _part(draft, problem.file, problem.field)
        if problem.severity == "error" and part is not None:
            found[part] = (*found.get(part, ()), problem)
    return found


def _part(draft: Draft, file: str, field: str) -> str | None:
    """The part of the club that stands in a file, or under a key of club.toml."""
    tables: dict[str, str] = {draft.tests.file: "samples"} | {
        getattr(draft, name).file: name for name in TABLES
    }
    if file in tables:
        return tables[file]
    if file == READINGS_FILE:
        return "readings"
    laid_over = set(draft.head.lines.files.values())
    if file == CLUB_FILE or file in laid_over:
        return part_of(field)
    return "scenarios"


def _unread_files(folder: Path, named: Iterable[str]) -> Iterator[Problem]:
    """Warnings about tables that nobody reads because of their name or their kind."""
    for path in folder.iterdir():
        stem, _, kind = path.name.lower().partition(".")
        if path.name in KNOWN_FILES or path.name in named:
            continue
        near = get_close_matches(stem, _STEMS, n=1, cutoff=0.7)
        if near and kind in ("csv", "toml"):
            hint = f"did you mean {_STEMS[near[0]]!r}?"
        elif stem in _STEMS and kind in _OTHER_KINDS and not (folder / _STEMS[stem]).exists():
            hint = f"save it as 'CSV UTF-8' or plain text under the name {_STEMS[stem]}"
        else:
            continue
        yield Problem(path.name, "no file of this name is read", hint, severity="warning")


def _club(
    folder: Path, draft: Draft, readings: Readings | None, problems: tuple[Problem, ...],
    broken: Parts,
) -> Club:  # fmt: skip
    samples = read_samples(draft.tests)
    values: dict[str, Any] = {
        **{name: value for name, value in draft.head.values.items() if name not in _NOT_KEPT},
        **{name: getattr(draft, name).records for name in TABLES},
        "samples": samples.samples,
        "readings": readings,
    }
    sound = {name: value for name, value in values.items() if name not in broken}
    return Club(
        **({"samples": ()} | sound),
        folder=folder,
        figures=tuple(_figures(draft, samples, broken)),
        problems=problems,
        broken=broken,
    )


def _figures(draft: Draft, samples: Samples, broken: Parts) -> Iterator[Figure]:
    tables = (getattr(draft, name) for name in TABLES)
    every = (*draft.head.figures, *samples.figures, *(f for table in tables for f in table.figures))
    for figure in every:
        path = "" if figure.file.endswith(".csv") else figure.path
        if _part(draft, figure.file, path) not in broken:
            yield figure
