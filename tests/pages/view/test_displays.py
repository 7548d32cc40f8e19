"""One folder in metric and in US display: every sentence and cell tells the same quantities.

Conversions are the exact definitions of NIST SP 811 (inch 25.4 mm, foot 0.3048 m, US gallon
231 cubic inches, pound 0.45359237 kg, ounce a sixteenth of it).
"""

import dataclasses
import re
from collections.abc import Iterator

import pytest

from waterkit.pages.view import TOPICS, topic_of
from waterkit.pages.view.shapes import Table, Topic, WorkingOut
from waterkit.plan import SeasonPlan

GALLON_L, POUND_KG, FOOT_M = 3.785411784, 0.45359237, 0.3048
SQUARE_FOOT_M2 = FOOT_M**2
# The US unit that a metric one turns into, one of it in the metric one, and where its zero lies.
TWINS: dict[str, tuple[str, float, float]] = {
    "L": ("US gal", GALLON_L, 0.0),
    "L/h": ("US gal/h", GALLON_L, 0.0),
    "mm": ("in", 25.4, 0.0),
    "m": ("ft", FOOT_M, 0.0),
    "m²": ("ft²", SQUARE_FOOT_M2, 0.0),
    "kg": ("lb", POUND_KG, 0.0),
    "g": ("oz", 1000 * POUND_KG / 16, 0.0),
    "kg/L": ("lb/US gal", POUND_KG / GALLON_L, 0.0),
    "L/m²": ("US gal/ft²", GALLON_L / SQUARE_FOOT_M2, 0.0),
    "g/m²": ("oz/ft²", 1000 * POUND_KG / 16 / SQUARE_FOOT_M2, 0.0),
    "m/s": ("ft/s", FOOT_M, 0.0),
    "°C": ("°F", 5 / 9, 32.0),
}
BY_VOLUME = ("Price of 1", "1 m³ of", "1000 US gal of")
"""Prices of the volume that people know, which is another one in each display."""
SIGNIFICANT = 3
NUMBER = re.compile(
    "([−-]?\\d[\\d,]*(?:\\.\\d+)?)(?:\u00a0([^\\s.;:,()]+(?:\u00a0gal[^\\s.;:,()]*)?))?"
)


def _working(working: WorkingOut | None) -> Iterator[str]:
    if working is not None:
        yield from (*working.inputs, working.result)


def _texts(topic: Topic) -> Iterator[str]:
    """Every text of a topic that may hold a quantity; a cell with the unit of its column."""
    yield from (topic.answer, *topic.findings, *topic.notes)
    for fact in topic.facts:
        if fact.label.startswith(BY_VOLUME):
            continue
        yield from (fact.text, fact.remark, *_working(fact.working))
    for working in topic.workings:
        yield from _working(working)
    for table in topic.tables:
        for row in table.rows:
            if not row[0].startswith(BY_VOLUME):
                yield from _cells(table, row)


def _cells(table: Table, row: tuple[str, ...]) -> Iterator[str]:
    """The cells of a row, with the unit of their column, or of the cell before."""
    unit = ""
    for column, cell in zip(table.columns, row, strict=True):
        unit = column.unit.replace(" ", "\u00a0") or unit
        ends = cell.split(" to ")
        bare = [NUMBER.fullmatch(end) for end in ends]
        plain = unit and all(found and not found.group(2) for found in bare)
        yield " to ".join(f"{end}\u00a0{unit}" for end in ends) if plain else cell
        unit = next((found.group(2) or "" for found in bare if found), "")


def _quantities(text: str) -> list[tuple[float, float, str]]:
    """The numbers of a text, their last digit, and their units.

    Limits are rounded to the safe side, so that a whole digit may lie between two displays.

    A zero at the end of a whole number may stand where a digit was rounded away.
    """
    found = []
    for number, unit in NUMBER.findall(text):
        digits = number.replace(",", "").replace("−", "-")
        zeros = len(digits) - len(digits.rstrip("0")) if "." not in digits else 0
        rounded = min(zeros, max(len(digits.lstrip("-")) - SIGNIFICANT, 0))
        digit = 10.0 ** (rounded - len(digits.partition(".")[2]))
        found.append((float(digits), digit, unit.replace("\u00a0", " ")))
    return found


@pytest.mark.parametrize("name", TOPICS)
def test_no_metric_unit_is_typed_into_a_sentence_for_gallons(name: str, plan: SeasonPlan) -> None:
    """A conductivity holds at 25 °C everywhere: that is the reference of the trade."""
    club = dataclasses.replace(plan.club, display="us")
    topic = topic_of(name, dataclasses.replace(plan, club=club))
    heads = [
        f"{c.head} {table.title} {table.caption}" for table in topic.tables for c in table.columns
    ]
    typed = re.compile(r"\d[ \u00a0](?:L|mm|m|kg|°C|square metre|kg/L|L/h)(?![\w/²])")
    for text in (*_texts(topic), *heads):
        found = [hit.group() for hit in typed.finditer(text)]
        assert set(found) <= {"5 °C"} if "25 °C" in text else found == [], text


@pytest.mark.parametrize("name", TOPICS)
def test_both_displays_tell_the_same_quantities_everywhere(name: str, plan: SeasonPlan) -> None:
    club = dataclasses.replace(plan.club, display="us")
    metric, us = topic_of(name, plan), topic_of(name, dataclasses.replace(plan, club=club))
    pairs = list(zip(_texts(metric), _texts(us), strict=True))
    wrong, turned = [], 0
    for text, told in pairs:
        ours, theirs = _quantities(text), _quantities(told)
        if len(ours) != len(theirs):
            wrong.append((text, told))
            continue
        for (value, digit, unit), (other, other_digit, other_unit) in zip(
            ours, theirs, strict=True
        ):
            twin, factor, zero = TWINS.get(unit, (unit, 1.0, 0.0))
            off = abs((other - zero) * factor - value)
            turned += twin != unit
            if twin != other_unit or off > digit + other_digit * factor + 1e-9 * abs(value):
                wrong.append((text, told))
    assert wrong == []
    assert turned > 0 or name == "buy"
