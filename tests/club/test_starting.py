"""A folder to start from: common figures, labelled, commented, and no history."""

import dataclasses
import datetime as dt
import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from waterkit.club import read_club
from waterkit.club.club_file import HEAD
from waterkit.club.demo_folder import write_demo
from waterkit.club.key_comments import COMMENTS
from waterkit.club.models import TAG, slots_of
from waterkit.club.places import slots_for
from waterkit.club.reading import TABLES
from waterkit.club.starting import (
    read_hardness,
    season_after,
    season_from,
    starting_club,
    starting_files,
    write_start,
)
from waterkit.errors import FieldError, MachineError
from waterkit.season.build import SeasonDates

DAY = dt.date(2027, 8, 1)
TEST = read_hardness("360 mg/L as CaCO3", DAY)
SEASON = season_after(DAY)
FILES = starting_files(3, TEST, SEASON)
LINES = FILES["club.toml"].splitlines()


@pytest.mark.parametrize(
    ("text", "mg_l"),
    [
        ("360 mg/L as CaCO3", 360.0),
        ("20 degdH", 356.95),  # 1 degdH = 10 mg/L of CaO
        ("21 gr/US gal as CaCO3", 359.5),  # 1 US grain a gallon = 17.118 mg/L
        ("3.6 mmol/L", 360.3),
        (" 36   degfH ", 360.0),
    ],
)
def test_a_hardness_is_read_as_people_say_it(text: str, mg_l: float, tmp_path: Path) -> None:
    write_start(tmp_path, 2, read_hardness(text, DAY), SEASON)
    (sample,) = read_club(tmp_path).samples
    assert sample.hardness_mg_l_caco3 == pytest.approx(mg_l, rel=2e-4)
    assert sample.date == DAY


@pytest.mark.parametrize(
    "text", ["360", "360 mg/L", "hard", "360 ppm as CaCO3", "360,5 mg/L as CaCO3", "-1 degdH", ""]
)
def test_a_hardness_that_cannot_be_read_shows_how_to_write_it(text: str) -> None:
    with pytest.raises(FieldError) as caught:
        read_hardness(text, DAY)
    assert "360 mg/L as CaCO3" in caught.value.hint


@pytest.mark.parametrize(
    ("day", "opening"),
    [
        (dt.date(2027, 8, 1), dt.date(2027, 10, 2)),
        (dt.date(2027, 10, 2), dt.date(2028, 10, 7)),
        (dt.date(2026, 12, 31), dt.date(2027, 10, 2)),
        (dt.date(2022, 9, 30), dt.date(2022, 10, 1)),
    ],
)
def test_the_coming_season_opens_on_the_first_saturday_of_october(
    day: dt.date, opening: dt.date
) -> None:
    season = season_after(day)
    assert season.first_draw == opening
    assert opening.weekday() == 5
    assert season.last_draw == dt.date(opening.year + 1, 3, 31)


def test_a_season_that_begins_in_the_new_year_ends_in_it() -> None:
    assert season_from(dt.date(2028, 1, 5)).last_draw == dt.date(2028, 3, 31)


def test_it_is_read_without_a_problem_and_as_it_was_meant(tmp_path: Path) -> None:
    write_start(tmp_path, 3, TEST, SEASON, "Ours")
    club = read_club(tmp_path)
    assert club.problems == ()
    meant = starting_club(3, TEST, SEASON, "Ours")
    apart = ("folder", "figures", "problems", "samples")
    for field in dataclasses.fields(meant):
        if field.name not in apart and field.compare:
            assert getattr(club, field.name) == getattr(meant, field.name), field.name


def test_every_figure_but_the_hardness_says_that_it_is_assumed(tmp_path: Path) -> None:
    write_start(tmp_path, 3, TEST, SEASON)
    figures = read_club(tmp_path).figures
    told = {figure.path for figure in figures if figure.basis != "assumed"}
    assert told == {"water-tests.csv:first test:hardness"}


def test_there_is_no_history(tmp_path: Path) -> None:
    write_start(tmp_path, 3, TEST, SEASON)
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {"README.md", "club.toml", "vessels.csv", "water-tests.csv"}
    assert {f"{name}.csv" for name in TABLES} - names


def test_every_key_is_commented_on_the_line_above() -> None:
    keys = [
        (above, line)
        for above, line in zip(["", *LINES], LINES, strict=False)
        if re.match(r"(# )?\w+ = ", line)
    ]
    assert len(keys) > 80
    bare = [line for above, line in keys if not above.startswith("# ") or " = ..." in above]
    assert bare == []


def test_every_key_of_the_records_has_a_comment_and_every_comment_a_key() -> None:
    club = starting_club(3, TEST, SEASON)
    wanted: set[str] = {"format"}
    for slot in slots_of(HEAD).values():
        value = getattr(club, slot.key, getattr(club, f"{slot.key}s", None))
        parts: tuple[Any, ...] = value if isinstance(value, tuple) else (value,)
        for part in parts:
            if dataclasses.is_dataclass(part) and slot.key != "files":
                kind = f".{getattr(part, TAG)}" if hasattr(part, TAG) else ""
                wanted |= {f"{slot.key}{kind}.{key}" for key in slots_for(part)}
            elif isinstance(part, str):
                wanted.add(slot.key)
    wanted.discard("source.by_month")  # told beside the one temperature
    told = {key for key in COMMENTS if "." in key or isinstance(_value(key), str | int)}
    heads = {"train.di", "train.tank"}
    assert told - heads == wanted


def _value(key: str) -> object:
    return tomllib.loads(FILES["club.toml"]).get(key)


def test_lines_are_short_enough_to_read() -> None:
    assert [line for line in LINES if len(line) > 100] == []
    assert [line for line in FILES["README.md"].splitlines() if len(line) > 100] == []


def test_us_units_where_people_tell_us_units() -> None:
    assert starting_club(2, read_hardness("21 gr/US gal as CaCO3", DAY), SEASON).display == "us"
    assert starting_club(2, TEST, SEASON).display == "metric"


def test_what_cannot_be_is_told() -> None:
    with pytest.raises(FieldError, match="0 sheets"):
        starting_club(0, TEST, SEASON)
    backwards = dataclasses.replace(SEASON, last_draw=dt.date(2027, 9, 1))
    with pytest.raises(FieldError, match="before the first"):
        starting_club(3, TEST, backwards)


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    (tmp_path / "vessels.csv").write_text("mine", "utf-8")
    with pytest.raises(MachineError, match=r"vessels\.csv"):
        write_start(tmp_path, 3, TEST, SEASON)
    assert [path.name for path in tmp_path.iterdir()] == ["vessels.csv"]


@pytest.mark.parametrize("write", [lambda folder: write_start(folder, 3, TEST, SEASON), write_demo])
def test_a_readme_that_is_there_stays(
    write: Callable[[Path], tuple[Path, ...]], tmp_path: Path
) -> None:
    (tmp_path / "README.md").write_text("mine", "utf-8")
    written = write(tmp_path)
    assert tmp_path / "README.md" not in written
    assert (tmp_path / "README.md").read_text("utf-8") == "mine"
    assert read_club(tmp_path).problems == ()


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        ("9999-12-31", "9999-12-31", "9999 is no year of play"),
        ("2027-10-02", "2030-10-02", "is too long"),
        ("0001-10-02", "0002-03-02", "1 is no year of play"),
    ],
)
def test_a_season_that_no_plan_could_hold(first: str, last: str, told: str) -> None:
    season = SeasonDates(dt.date.fromisoformat(first), dt.date.fromisoformat(last))
    with pytest.raises(FieldError, match=told):
        starting_club(3, TEST, season)


def test_the_last_day_of_all_has_a_season_too() -> None:
    assert season_from(dt.date.max).first_draw == dt.date.max
    assert season_after(dt.date.max).first_draw.year == dt.MAXYEAR
    with pytest.raises(FieldError, match="no water was tested on 9999-12-31"):
        starting_club(3, dataclasses.replace(TEST, date=dt.date.max), SEASON)


def test_a_name_that_is_no_text_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(FieldError, match="no letter") as caught:
        write_start(tmp_path / "club", 3, TEST, SEASON, "J\udcff")
    assert caught.value.field == "name"
    assert not (tmp_path / "club").exists()


def test_a_hostile_name_does_no_harm(tmp_path: Path) -> None:
    name = 'The "Rock" # {name} = [x]\\n'
    write_start(tmp_path, 1, TEST, SEASON, name)
    assert read_club(tmp_path).name == name
    assert name in (tmp_path / "README.md").read_text("utf-8")
