"""What is typed at the tank."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.errors import InputError
from waterkit.plan.asking import log_row, read_asked
from waterkit.plan.at_tank import at_tank
from waterkit.water.meter import Meter

TOLD = {"reading": "1.3 uS/cm", "temperature": "6 degC"}
NOON = dt.datetime(2027, 8, 15, 12, tzinfo=dt.UTC)


@pytest.fixture
def club(demo_folder: Path) -> Club:
    return read_club(demo_folder)


@pytest.fixture
def pens(club: Club) -> Club:
    return replace(club, meters=(Meter("pen", factor=0.5),))


def problems(club: Club, texts: dict[str, str | None], *seen: str) -> dict[str, str]:
    with pytest.raises(InputError) as caught:
        read_asked(club, texts, seen)
    return {problem.field: problem.message for problem in caught.value.problems}


def test_units_are_turned(club: Club) -> None:
    asked = read_asked(
        club, {"reading": "0.0013 mS/cm", "temperature": "43 degF", "litres": "100 US gal",
               "point": "di  outlet", "use": "Pebble"}, ("smell",),
    )  # fmt: skip
    assert asked.reading == pytest.approx(1.3)
    assert asked.temperature == pytest.approx(6.111, abs=0.001)
    assert asked.litres == pytest.approx(378.54, abs=0.01)
    assert (asked.point, asked.use, asked.seen) == ("DI outlet", "pebble", ("smell",))
    assert asked.meter == "pocket meter"


def test_what_is_left_out_is_a_flood_from_the_tank(club: Club) -> None:
    asked = read_asked(club, TOLD)
    assert (asked.point, asked.use, asked.litres, asked.seen) == ("tank", "flood", 0.0, ())


def test_everything_wrong_is_told_at_once(club: Club) -> None:
    told = problems(
        club, {"reading": "1,300 uS/cm", "temperature": "6", "litres": "a lot", "point": "feed",
               "use": "tea", "meter": "else"}, "ufo",
    )  # fmt: skip
    assert set(told) == {
        "--reading", "--temperature", "--litres", "--point", "--use", "--meter", "--seen",
    }  # fmt: skip
    assert told["--reading"] == "'1,300' has a thousands mark or a decimal comma"
    assert set(problems(club, {})) == {"--reading", "--temperature"}


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("nan uS/cm", "not a number"),
        ("-1 uS/cm", "cannot be"),
        ("1e9 uS/cm", "cannot be"),
        ("1.3", "has no unit"),
        ("1.3 mg", "is not a unit of conductivity"),
        ("1.3 furlong", "unknown unit"),
        ("", "is not a number"),
        ("4 ppm", "factor of the pocket meter is not known"),
    ],
)
def test_a_reading_that_cannot_be_used(club: Club, text: str, message: str) -> None:
    assert message in problems(club, {**TOLD, "reading": text})["--reading"]


def test_ppm_of_a_meter_that_shows_them(pens: Club) -> None:
    asked = read_asked(pens, {**TOLD, "reading": "4 ppm"})
    assert (asked.reading, asked.unit) == (4.0, "ppm")
    row = log_row(at_tank(pens, NOON, asked), "Kim")
    assert (row["conductivity"], row["meter"], row["by"]) == ("8 uS/cm", "pen", "Kim")


def test_ppm_of_nobody_knows_what_cannot_be_logged(club: Club) -> None:
    bare = replace(club, meters=())
    found = at_tank(bare, NOON, read_asked(bare, {**TOLD, "reading": "4 ppm"}))
    assert found.decision.verdict == "hold"
    with pytest.raises(InputError, match="ppm of a meter that is not known"):
        log_row(found, None)


def test_what_was_seen_goes_into_the_note(club: Club) -> None:
    row = log_row(at_tank(club, NOON, read_asked(club, TOLD, ("smell", "film"))), None)
    assert row["note"] == "seen: smell, film"


@pytest.mark.parametrize("text", ["1,3 uS/cm", "1.3 \u03bcS/cm", "1,3 \u00b5S/cm", "1,3000 uS/cm"])
def test_a_decimal_comma_and_either_micro_sign_are_read(club: Club, text: str) -> None:
    told = {"reading": text, "temperature": "6,5 \u2103", "litres": "0,125 m\u00b3"}
    asked = read_asked(club, told)
    assert asked.reading == 1.3
    assert asked.temperature == pytest.approx(6.5)
    assert asked.litres == pytest.approx(125.0)


def test_a_meter_is_found_by_its_name_in_any_letters(club: Club) -> None:
    two = replace(club, meters=(Meter("Pen"), Meter("pocket meter")))
    assert read_asked(two, {**TOLD, "meter": "POCKET  Meter"}).meter == "pocket meter"
    assert read_asked(two, TOLD).meter is None


def test_the_row_of_the_outlet_tells_no_use_and_nothing_twice(club: Club) -> None:
    told = {**TOLD, "point": "DI outlet", "total": "4900 L"}
    row = log_row(at_tank(club, NOON, read_asked(club, told, ("smell", "Smell"))), "=Kim")
    assert (row["use"], row["note"], row["by"]) == ("", "seen: smell", "Kim")
    assert row["treated total"] == "4900 L"
