"""Published worked examples: each ``published/*.toml`` holds them as printed, with their source.

A file reads::

    [source]
    text = "author, title, publisher, year, page or table"
    seen = "seen"                       # or "memory", "practice" (working.Seen), "derived"

    [[case]]
    name = "what the case shows"
    check = "grain"                     # runs check_grain(case) of a published_checks_*.py
    inputs = { hardness = "1 gr/US gal" }
    expected = { hardness = "17.1181 mg/L" }

A check function works out the expected figures from the inputs with waterkit's own functions, and
returns them by name: a plain number, a pair (number, unit spelling), or a word. A figure must lie
within half of the last printed digit, or within ``tolerance = "0.05"`` / ``"10 %"`` (or a table of
them by name), which needs a ``reason``.
"""

import importlib.util
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from typing import Any, get_args

import pytest

from waterkit import units, working

HERE = Path(__file__).parent
FOLDER = HERE / "published"
SEEN = (*get_args(working.Seen), "derived")

Answer = float | str | tuple[float, str]
Answers = Mapping[str, Answer]


@dataclass(frozen=True)
class Case:
    """One worked example as printed."""

    name: str
    check: str
    inputs: Mapping[str, Any]
    expected: Mapping[str, str]
    file: str = ""
    tolerance: str | Mapping[str, str] = field(default_factory=dict)
    reason: str = ""

    def quantity(self, name: str, unit: str) -> float:
        """An input with a unit, in the unit asked for."""
        return _quantity(self.inputs[name], unit)

    def number(self, name: str) -> float:
        """An input that has no unit."""
        return units.parse_number(self.inputs[name])

    def text(self, name: str) -> str:
        """An input as it stands."""
        return str(self.inputs[name])

    def table(self, name: str, unit: str) -> dict[str, float]:
        """An input that is a table of quantities, all in the unit asked for."""
        return {key: _quantity(text, unit) for key, text in self.inputs[name].items()}

    def tolerance_of(self, name: str) -> str:
        """The tolerance told for one expected figure, or empty: the printed digits rule."""
        if isinstance(self.tolerance, str):
            return self.tolerance
        return self.tolerance.get(name, "")


def _quantity(text: str, unit: str) -> float:
    number, spelling = units.split_number(text)
    converted = units.convert(units.parse_number(number), units.check_spelling(spelling), unit)
    assert isinstance(converted, float | int)
    return float(converted)


def half_last_digit(number: str) -> float:
    """Half of the last printed digit of a number as text: 0.05 for ``578.2``."""
    exponent = Decimal(number).as_tuple().exponent
    assert isinstance(exponent, int)
    return 0.5 * 10.0**exponent


def allowed(tolerance: str, number: str) -> float:
    """How far an answer may lie from the printed number."""
    if not tolerance:
        return half_last_digit(number)
    value, unit = units.split_number(tolerance)
    share = abs(float(number)) / 100 if unit == "%" else 1.0
    return units.parse_number(value) * share


def agrees(answer: Answer, printed: str, tolerance: str) -> bool:
    """Whether an answer agrees with the figure or word as printed."""
    if isinstance(answer, str):
        return answer == printed
    number, unit = units.split_number(printed)
    value = answer
    if isinstance(value, tuple):
        value = _quantity(f"{float(value[0])!r} {value[1]}", units.check_spelling(unit))
    else:
        assert not unit, f"{printed!r} has a unit: the check must return (number, unit)"
    return abs(value - float(number)) <= allowed(tolerance, number) * (1 + 1e-9)


def _load(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def _checks() -> Iterator[tuple[str, Callable[[Case], Answers]]]:
    for path in sorted(HERE.glob("published_checks_*.py")):
        for name, function in vars(_load(path)).items():
            if name.startswith("check_"):
                yield name.removeprefix("check_"), function


def _cases() -> Iterator[Case]:
    for path in sorted(FOLDER.glob("*.toml")):
        for row in tomllib.loads(path.read_text(encoding="utf-8"))["case"]:
            yield Case(file=path.name, **row)


CHECKS = dict(_checks())
CASES = tuple(_cases())


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.file}: {case.name}")
def test_published(case: Case) -> None:
    answers = CHECKS[case.check](case)
    assert case.expected
    for name, printed in case.expected.items():
        told = (name, answers[name], printed)
        assert agrees(answers[name], printed, case.tolerance_of(name)), told


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.toml")), ids=lambda path: path.name)
def test_each_file_names_its_source(path: Path) -> None:
    source = tomllib.loads(path.read_text(encoding="utf-8"))["source"]
    assert source["text"]
    assert source["seen"] in SEEN


def test_a_tolerance_has_a_reason() -> None:
    assert [case for case in CASES if case.tolerance and not case.reason] == []


def test_each_check_is_used() -> None:
    assert sorted(CHECKS) == sorted({case.check for case in CASES})


@pytest.mark.parametrize(
    ("answer", "printed", "expected"),
    [
        (578.24, "578.2", True),
        (578.26, "578.2", False),
        ((1.0, "gr/US gal"), "17.118 mg/L", True),
        ((1.001, "gr/US gal"), "17.118 mg/L", False),
        ("passed", "passed", True),
        ("failed", "passed", False),
    ],
)
def test_the_comparison_itself(answer: Answer, printed: str, expected: bool) -> None:
    assert agrees(answer, printed, "") is expected
