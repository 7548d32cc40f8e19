"""club.toml: the settings of the club, each with its line."""

import dataclasses
import pathlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Any, Literal, get_type_hints

from waterkit.club.faults import validate
from waterkit.club.fields import Settings, Written
from waterkit.club.models import (
    MONTHS,
    Path,
    WrittenRecord,
    core,
    figures_in,
    figures_of,
    model_of,
    slots_of,
    to_record,
)
from waterkit.club.schema import Club, Figure, Scenario, SourceWater
from waterkit.club.text import problem_of, read_text
from waterkit.club.toml_lines import Lines, TomlError, load_toml
from waterkit.errors import FieldError, Problem
from waterkit.water.limits import COMMON_LIMITS, USES

CLUB_FILE = "club.toml"
FORMAT = 1
BY_MONTH = "by_month"
_ELSEWHERE = (
    "samples", "folder", "layers", "draws", "vessels", "items", "suppliers", "offers", "stock",
    "changeouts", "checks", "orders", "spending", "readings", "scenarios", "figures", "problems",
    "broken",
)  # fmt: skip
_WRITTEN_AS = {"meters": "meter"}
_PARTS = {key: plain for plain, key in _WRITTEN_AS.items()}
ESSENTIAL = (
    "format", "name", "display", "currency", "locale", "timezone", "files", "rink", "season",
)  # fmt: skip
"""Keys without which there is no club at all."""


@dataclass(frozen=True, slots=True)
class Files:
    """How the files are written: the order of day and month in slashed dates."""

    dates: Literal["dmy", "mdy"] | None = None


def _head() -> type:
    """The record of club.toml: the fields of the club that stand in it, and its own two."""
    hints = get_type_hints(Club, include_extras=True)
    parts: list[tuple[str, Any, Any]] = [
        (_WRITTEN_AS.get(item.name, item.name), hints[item.name], _same_default(item))
        for item in dataclasses.fields(Club)
        if item.name not in _ELSEWHERE
    ]
    own = [("format", int, field(default=FORMAT)), ("files", Files, field(default=Files()))]
    return dataclasses.make_dataclass("Head", [*parts, *own], frozen=True)


def _same_default(item: "dataclasses.Field[Any]") -> Any:
    if item.default_factory is not dataclasses.MISSING:
        return field(default_factory=item.default_factory)
    return field(default=item.default)


HEAD = _head()


@dataclass(frozen=True, slots=True)
class ClubFile:
    """What club.toml says: ``values`` by field of the club, only those that could be read.

    ``broken`` are the keys at the top of the file that could not, ``raw`` is the file as it stands;
    ``parsed`` is False for a file that is not TOML at all.
    """

    values: Mapping[str, Any] = field(default_factory=dict)
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()
    lines: Lines = field(default_factory=Lines)
    settings: Settings = Settings()
    broken: frozenset[str] = frozenset()
    raw: Mapping[str, object] = field(default_factory=dict)
    parsed: bool = False

    def problem(self, path: Path, message: str, hint: str) -> Problem:
        """A problem with a key of club.toml."""
        return _placed(path, message, hint, self.lines)


def read_club_file(text: str) -> ClubFile:
    """Read club.toml; each table is read by itself, so that one fault does not hide another."""
    try:
        raw, lines = load_toml(text)
    except TomlError as error:
        return ClubFile(problems=(problem_of(CLUB_FILE, error),))
    return _read(raw, lines)


def key_problem(folder: pathlib.Path, error: FieldError) -> Problem:
    """A problem with a key at the top of a folder's club.toml, found after it was read."""
    path = folder / CLUB_FILE
    line = load_toml(read_text(path))[1].of((error.field,)) if path.is_file() else None
    return Problem(CLUB_FILE, error.message, error.hint, line, error.field)


def lay_over(head: ClubFile, scenario: Scenario) -> ClubFile:
    """club.toml with the keys of a what-if in place of its own."""
    raw, lines = dict(head.raw), head.lines
    for key, value in scenario.overlay.items():
        inner = 2 if key == "limits" else 1  # [limits.USE] is a table in a table
        raw[key], lines = _laid(raw.get(key), value, lines, (key,), inner)
    return _read(raw, lines.under(scenario.lines, scenario.file))


def _laid(old: object, new: object, lines: Lines, path: Path, inner: int) -> tuple[object, Lines]:
    """A table with the keys of another in place of its own; anything else is replaced whole."""
    if not (inner and isinstance(old, Mapping) and isinstance(new, Mapping)):
        return new, lines.without(path)
    table = dict(old)
    for key, value in new.items():
        table[key], lines = _laid(old.get(key), value, lines, (*path, key), inner - 1)
    return table, lines


def _read(written: Mapping[str, object], lines: Lines) -> ClubFile:
    raw = _completed(written)
    settings = _settings(raw)
    values: dict[str, Any] = {}
    figures: list[Figure] = []
    model, faults = validate(model_of(HEAD), raw, settings)
    bad = {str(fault.path[0]) for fault in faults}
    if model is None:
        model = _sound_part(raw, bad, settings)
    for name in slots_of(HEAD):
        if name not in model.model_fields_set:
            continue
        value = getattr(model, name)
        values[name] = _limits(value) if name == "limits" else core(value)
        figures += _figures(name, value, lines)
    values["source"] = _with_mean(values.get("source", SourceWater()))
    problems = tuple(
        _placed(_as_written(fault.path), fault.message, fault.hint, lines) for fault in faults
    )
    by_field = {plain: values.pop(key) for plain, key in _WRITTEN_AS.items() if key in values}
    return ClubFile(
        values | by_field, tuple(figures), problems, lines, settings, frozenset(bad), written, True
    )


def part_of(field: str) -> str | None:
    """The part of the club that a key such as ``white.ratio`` belongs to; empty for its head.

    A key that is not known belongs to the part that it is nearest to, None if there is none.
    """
    key = field.partition(".")[0]
    known = list(slots_of(HEAD))
    if key and key not in known:
        near = get_close_matches(key.lower(), known, n=1, cutoff=0.6)
        if not near:
            return None
        key = near[0]
    return "" if not key or key in ESSENTIAL else _PARTS.get(key, key)


def _completed(raw: Mapping[str, object]) -> dict[str, object]:
    """The file with an empty table for each one that is not there, so that defaults show."""
    tables: dict[str, object] = {
        slot.key: {}
        for slot in slots_of(HEAD).values()
        if dataclasses.is_dataclass(slot.hint) and not slot.required
    }
    full = tables | dict(raw)
    limits = full.get("limits", {})
    if isinstance(limits, Mapping):
        full["limits"] = {use: {} for use in USES} | dict(limits)
    full["source"] = _with_months(full["source"])
    return full


def _with_months(source: object) -> object:
    """The source with a temperature by month under a key of its own."""
    if not isinstance(source, Mapping):
        return source
    temperature = source.get("temperature")
    if not isinstance(temperature, Mapping) or "value" in temperature:
        return source
    rest = {key: value for key, value in source.items() if key != "temperature"}
    return {**rest, BY_MONTH: temperature}


def _settings(raw: Mapping[str, object]) -> Settings:
    files = raw.get("files")
    dates = files.get("dates") if isinstance(files, Mapping) else None
    return Settings(dates) if dates in ("dmy", "mdy") else Settings()


def _sound_part(raw: Mapping[str, object], bad: set[str], settings: Settings) -> WrittenRecord:
    """The model of what can be read: top-level keys with a fault are left out."""
    sound = {key: value for key, value in raw.items() if key not in bad}
    model, _ = validate(model_of(HEAD, all_optional=True), sound, settings)
    if model is None:
        raise AssertionError("what is left after taking out the faulty keys must be sound")
    return model


def _limits(written: Mapping[Any, WrittenRecord]) -> Mapping[Any, Any]:
    return {use: to_record(model, COMMON_LIMITS[use]) for use, model in written.items()}


def _with_mean(source: SourceWater) -> SourceWater:
    """Where the temperature is told by month, their mean stands for the year."""
    months = source.by_month_c.values()
    return replace(source, temperature_c=sum(months) / len(months)) if months else source


def _figures(name: str, value: Any, lines: Lines) -> Iterator[Figure]:
    found: Iterator[tuple[Path, Written, bool]]
    if name == "limits":
        found = (
            entry
            for use, model in value.items()
            for entry in figures_of(model, (name, use), COMMON_LIMITS[use])
        )
    else:
        found = figures_in(value, (name,))
    for path, written, given in found:
        place = _as_written(path)
        if not given and any(known[:2] == place for known in lines.at):
            continue  # a default beside a table by month
        yield Figure(
            dotted(place), written.value, written.unit, written.basis, written.low, written.high,
            written.note, lines.file_of(place, CLUB_FILE), _line(written, place, lines, given),
        )  # fmt: skip


def _line(written: Written, place: Path, lines: Lines, given: bool) -> int | None:
    """Where a figure stands; None for a default, also for one beside figures of the same key."""
    beside = written.basis == "assumed" and place not in lines.at
    return lines.of(place) if given and not beside else None


def _placed(path: Path, message: str, hint: str, lines: Lines) -> Problem:
    file = lines.file_of(path, CLUB_FILE)
    return Problem(file, message, hint, lines.of(path), dotted(path))


def _as_written(path: Path) -> Path:
    """The path as the club wrote it: temperatures by month stand under ``temperature``."""
    if path[:2] != ("source", BY_MONTH):
        return path
    month = path[2:3]
    named = (MONTHS[month[0] - 1],) if month and isinstance(month[0], int) else month
    return ("source", "temperature", *named)


def dotted(path: Path) -> str:
    """A path as messages name it; elements of a list are counted from 1."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
