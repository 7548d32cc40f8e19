import ast
import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

from waterkit import quantities
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import SENTENCES, sentence, sentences
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.working import Note

PACKAGE = Path(__file__).parents[3] / "waterkit"
ELSEWHERE = PACKAGE / "tank" / "verdict.py"
"""Its keys have sentences of their own, see ``test_verdict.py``."""
WORDS = {"", "day", "money", "ion", "ions", "words", "runs", "range", "mark", "packs"}


def _notes_made() -> Iterator[tuple[str, ast.Call, ast.AST]]:
    """Every ``Note(...)`` in the package: where it is made, the call, the function around it."""
    for path in sorted(set(PACKAGE.rglob("*.py")) - {ELSEWHERE}):
        yield from _notes_in(ast.parse(path.read_text("utf-8")), path.name)


def _notes_in(around: ast.AST, file: str) -> Iterator[tuple[str, ast.Call, ast.AST]]:
    waiting = list(ast.iter_child_nodes(around))
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.FunctionDef):
            yield from _notes_in(node, file)
            continue
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Note":
            yield f"{file}:{node.lineno}", node, around
        waiting += ast.iter_child_nodes(node)


def _keys(argument: ast.expr) -> list[str]:
    if isinstance(argument, ast.IfExp):
        return [*_keys(argument.body), *_keys(argument.orelse)]
    assert isinstance(argument, ast.Constant), f"{ast.unparse(argument)} is no plain key"
    return [str(argument.value)]


def _value_names(call: ast.Call, function: ast.AST) -> set[str] | None:
    """The names of a note's values where they are written out, here or as a dict above."""
    if len(call.args) == 1:
        return set()
    values = call.args[1]
    for node in ast.walk(function):
        targets = node.targets if isinstance(node, ast.Assign) else []
        if isinstance(node, ast.Assign) and any(
            ast.unparse(target) == ast.unparse(values) for target in targets
        ):
            values = node.value
    if not isinstance(values, ast.Dict):
        return None
    return {ast.literal_eval(key) for key in values.keys if key is not None}


def _fields(template: str) -> dict[str, str]:
    return {
        name: spec or "" for _, name, spec, _ in Formatter().parse(template) if name is not None
    }


def test_every_note_has_a_sentence_and_every_sentence_a_note() -> None:
    made = {key for _, call, _ in _notes_made() for key in _keys(call.args[0])}
    assert made == set(SENTENCES)


def test_a_sentence_uses_only_what_its_note_holds() -> None:
    wrong = []
    for place, call, function in _notes_made():
        names = _value_names(call, function)
        for key in _keys(call.args[0]):
            used = set(_fields(SENTENCES[key])) - {"mark"}
            if names is not None and not used <= names:
                wrong.append((place, key, used - names))
    assert wrong == []


@pytest.mark.parametrize("key", SENTENCES)
def test_a_sentence_ends_and_its_marks_are_known(key: str) -> None:
    template = SENTENCES[key]
    assert template.endswith(".")
    unknown = [spec for spec in _fields(template).values() if spec not in WORDS]
    assert [spec for spec in unknown if not hasattr(quantities, spec)] == []


def test_values_are_told_in_the_clubs_units() -> None:
    note = Note("first-day-short", {"date": dt.date(2027, 9, 20), "litres": 3785.411784})
    assert "1,000\u00a0US\u00a0gal are missing" in sentence(note, Figures("us", "en_US"))
    assert "3,785\u00a0L are missing" in sentence(note, Figures())


@pytest.mark.parametrize(
    ("packs", "size", "unit", "told"),
    [
        (2, 25.0, "test", "2 packs of 25"),
        (8, 1.0, "blade", "8"),
        (1, 10.0, "kg", "1 pack of 10 kg"),
        (3, 1.0, "L", "3 L"),
        (1, 1.0, "month", "1 month"),
    ],
)
def test_an_order_is_told_as_people_say_it(packs: int, size: float, unit: str, told: str) -> None:
    values = {"item": "x", "packs": packs, "size": size, "unit": unit, "supplier": "North"}
    words = sentence(Note("order-due", values), Figures()).replace("\u00a0", " ")
    assert words == f"Order x: {told}, from North."


def test_marks_of_a_run_are_told_in_words() -> None:
    marks = (Endpoint("litres", 90.0), Endpoint("silica", 0.5), Endpoint("conductivity", 5.0))
    note = next(key for key in SENTENCES if "changed_at" in SENTENCES[key])
    words = sentence(Note(note, {"changed_at": marks}), Figures()).replace("\u00a0", " ")
    assert "90 % of rated litres or silica 0.5 mg/L or 5 µS/cm" in words


def test_a_sentence_said_twice_is_said_once() -> None:
    note = Note("default-layers")
    assert len(sentences([note, note], Figures())) == 1
