"""Scenarios: files of the folder ``scenarios`` that lay other keys and files over the club."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path, PureWindowsPath
from typing import Annotated

from waterkit.club.club_file import dotted
from waterkit.club.faults import validate
from waterkit.club.fields import Settings, did_you_mean
from waterkit.club.models import model_of, slots_of, to_record
from waterkit.club.schema import Scenario
from waterkit.club.text import is_there, problem_of, read_text
from waterkit.club.toml_lines import load_toml
from waterkit.errors import FieldError, Problem
from waterkit.quantities import SEASONS

__all__ = ["FOLDER", "Scenario", "ScenarioKeys", "read_scenarios"]
FOLDER = "scenarios"
_FIXED = ("format", "files")
"""Keys of club.toml that say how the folder is written, which no what-if changes."""


@dataclass(frozen=True, slots=True)
class ScenarioKeys:
    """What a scenario says beside the keys of club.toml that it replaces.

    Parameters
    ----------
    capital : money
        What it costs once, at the start, tax included.
    life_seasons : float or None
        How long what was bought lasts [seasons].
    residual : money
        What is left of the capital after that.
    replace : mapping of file to file
        Files of the club's folder that are read instead of others.
    """

    capital: Decimal = Decimal(0)
    life_seasons: Annotated[float, SEASONS] | None = None
    residual: Decimal = Decimal(0)
    replace: Mapping[str, str] = field(default_factory=dict)


def read_scenarios(
    folder: Path, known: Collection[str]
) -> tuple[tuple[Scenario, ...], tuple[Problem, ...]]:
    """The what-ifs of a club's folder that could be read, by name, and what is wrong with them.

    ``known`` are the files that one may replace.
    """
    scenarios: list[Scenario] = []
    problems: list[Problem] = []
    try:
        paths = [path for path in _inside(folder / FOLDER) if path.suffix.lower() == ".toml"]
    except OSError as error:
        message = f"cannot be looked through: {error.strerror or error}"
        hint = "it is the folder of what-ifs: see who may read it, or move it away"
        return (), (Problem(FOLDER, message, hint),)
    for path in sorted(paths, key=lambda path: path.name):
        scenario, faults = _read(folder, path, known)
        problems += faults
        if scenario and not faults:
            scenarios.append(scenario)
    return tuple(scenarios), tuple(problems)


def _inside(folder: Path) -> list[Path]:
    return list(folder.iterdir()) if is_there(folder) else []


def _read(
    folder: Path, path: Path, known: Collection[str]
) -> tuple[Scenario | None, tuple[Problem, ...]]:
    file = f"{FOLDER}/{path.name}"
    try:
        raw, lines = load_toml(read_text(path))
    except FieldError as error:
        return None, (problem_of(file, error),)
    own = {key: value for key, value in raw.items() if key in slots_of(ScenarioKeys)}
    overlay = {key: value for key, value in raw.items() if key not in own}
    model, faults = validate(model_of(ScenarioKeys), own, Settings())
    if model is None:
        return None, tuple(
            Problem(file, fault.message, fault.hint, lines.of(fault.path), dotted(fault.path))
            for fault in faults
        )
    keys: ScenarioKeys = to_record(model)
    scenario = Scenario(
        path.stem, file, overlay, lines, keys.replace, keys.capital, keys.life_seasons,
        keys.residual,
    )  # fmt: skip
    return scenario, tuple(_checked(folder, scenario, known))


def _checked(folder: Path, scenario: Scenario, known: Collection[str]) -> Iterator[Problem]:
    """What contradicts itself, and files that cannot be read instead of others."""
    lines, file = scenario.lines, scenario.file
    for key in _FIXED:
        if key in scenario.overlay:
            message, hint = "a scenario cannot change this", "write it in club.toml alone"
            yield Problem(file, message, hint, lines.of((key,)), key)
    if scenario.residual > scenario.capital:
        message = f"{scenario.residual} is more than the capital, {scenario.capital}"
        yield Problem(file, message, "mend one of the two", lines.of(("residual",)), "residual")
    if scenario.life_seasons is not None and scenario.life_seasons <= 0:
        hint = "write how many seasons it lasts, or leave it out"
        yield Problem(file, "it lasts no season", hint, lines.of(("life",)), "life")
    for name, other in scenario.replaces.items():
        try:
            _check_replaced(folder, name, other, known)
        except FieldError as error:
            path = ("replace", name)
            yield Problem(file, error.message, error.hint, lines.of(path), dotted(path))


def _check_replaced(folder: Path, name: str, other: str, known: Collection[str]) -> None:
    if name not in known:
        raise FieldError(f"{name!r} is no file that is read", did_you_mean(name, known))
    outside = Path(other).is_absolute() or bool(PureWindowsPath(other).anchor)
    inside = not outside and ".." not in PureWindowsPath(other).parts
    if not inside or not (folder / other).resolve().is_relative_to(folder.resolve()):
        hint = "name a file inside the folder of the club, from there: other-vessels.csv"
        raise FieldError(f"{other!r} lies outside the folder of the club", hint)
    if not (folder / other).is_file():
        raise FieldError(f"there is no file {other!r}", "write it, or take the key away")
