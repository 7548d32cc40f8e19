"""The verdict in words."""

import datetime as dt
import re
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.tank import UNCORRECTED
from waterkit.pages.view.verdict import (
    JOBS,
    REASONS,
    SEEN_WORDS,
    STEPS,
    digits_of,
    shown_number,
    verdict_words,
)
from waterkit.plan.at_tank import Asked, at_tank
from waterkit.tank.baked import SCALE
from waterkit.tank.case import REFUSED
from waterkit.tank.rules import RULES
from waterkit.water.limits import USES
from waterkit.water.meter import Meter

NOON = dt.datetime(2027, 8, 15, 12, tzinfo=dt.UTC)


@pytest.fixture
def club(demo_folder: Path) -> Club:
    return read_club(demo_folder)


def words(club: Club, asked: Asked) -> str:
    found = verdict_words(at_tank(club, NOON, asked), Figures.of(club))
    return " ".join((found.answer, *found.reasons, *found.steps)).replace("\u00a0", " ")


def test_each_rule_has_its_sentence_and_each_step_too() -> None:
    assert set(REASONS) == {rule.key for rule in RULES} | {"rinsing-litres"}
    assert set(STEPS) == {step for rule in RULES for step in rule.steps}
    assert set(JOBS) == set(USES)
    assert set(SEEN_WORDS) == set(REFUSED)


def test_the_sentence_is_the_job(club: Club) -> None:
    asked = Asked(1.3, "uS/cm", 6.0)
    assert words(club, replace(asked, point="DI outlet")).startswith("Fill the tank: ")
    assert words(club, replace(asked, use="pebble")).startswith("Fill the pebble can: ")
    held = words(club, replace(asked, reading=15.0))
    assert held.startswith("Hold, do not start the flood yet: the pocket meter shows 15 µS/cm")
    assert "Only the ice tech may release this hold" in held
    refused = words(club, replace(asked, reading=30.0))
    assert refused.startswith("Do not start the flood: the pocket meter shows 30 µS/cm")


@pytest.mark.parametrize("use", USES)
@pytest.mark.parametrize("reading", [0.0, 0.01, 1.3, 15.0, 30.0, 720.0, 5000.0])
def test_no_blank_is_left_in_a_sentence(club: Club, use: str, reading: float) -> None:
    for seen in ((), ("smell", "film"), ("rinsing", "unsteady")):
        asked = Asked(reading, "uS/cm", 6.0, "hose end", use, 9000.0, None, seen)  # type: ignore[arg-type]
        assert not re.search(r"[{}]|None", words(club, asked))


def test_a_pen_is_answered_in_ppm(club: Club) -> None:
    pens = replace(club, meters=(Meter("pen", factor=0.5, resolution_us_cm=2.0),))
    told = words(pens, Asked(3.0, "ppm", 25.0))
    assert "the pen shows 3 ppm at 25.0 °C, flood water is good up to 5 ppm" in told


def test_digits_are_those_of_the_meter() -> None:
    assert [digits_of(1000, 50_000), digits_of(10_000, 50_000), digits_of(100, 50_000)] == [1, 0, 2]
    assert [digits_of(step, 9_999) for step in (10_000, 1_000, 100, 0)] == [0, 1, 2, 2]


def test_what_is_less_than_the_last_digit_of_a_meter_is_told_so() -> None:
    pen = replace(UNCORRECTED, resolution=SCALE)
    figures = Figures(locale="de_DE")
    assert [shown_number(value, pen, figures) for value in (9_700, 0, 10_000, 19_900)] == [
        "less than 1", "less than 1", "1", "1"
    ]  # fmt: skip
    tenths = replace(UNCORRECTED, resolution=SCALE // 10)
    assert [shown_number(value, tenths, figures) for value in (9_700, 900)] == [
        "0,9", "less than 0,1"
    ]  # fmt: skip


def test_cautions_stand_at_the_job(club: Club) -> None:
    found = verdict_words(at_tank(club, NOON, Asked(1.3, "uS/cm", 6.0, "DI outlet")),
                          Figures.of(club))  # fmt: skip
    assert any("acid or caustic" in caution for caution in found.cautions)
    assert any("not for drinking" in caution for caution in found.cautions)
