"""What the water says of a sheet that is not sound, and of the processes behind it."""

import datetime as dt
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.pages.answers.water import water as answered
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.water import water
from waterkit.plan import plan_season
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener

DAY = dt.date(2027, 8, 15)


@pytest.fixture(scope="module")
def club(demo_folder: Path) -> Club:
    return read_club(demo_folder)


def with_sample(club: Club, without: tuple[str, ...] = (), **changes: Any) -> Club:
    sample = club.samples[0]
    kept = {key: amount for key, amount in sample.mmol_l.items() if key not in without}
    mmol_l = {**kept, **changes.pop("mmol_l", {})}
    return replace(club, samples=(replace(sample, mmol_l=mmol_l, **changes),))


def topic_of(club: Club) -> Any:
    return water(plan_season(club, DAY), Figures.of(club))


def test_a_sound_sheet_passes_and_says_so(club: Club) -> None:
    assert topic_of(club).answer.endswith("every check of it passes.")


def test_a_sheet_without_sodium_is_not_called_sound(club: Club) -> None:
    topic = topic_of(with_sample(club, ("Na", "K"), hardness_mg_l_caco3=None))
    assert "could not be checked: a main ion is missing" in topic.answer
    more = {"Ca": 230.0 / 40.078}
    topic = topic_of(with_sample(club, ("Na", "K"), mmol_l=more, hardness_mg_l_caco3=None))
    assert "hard to believe" in topic.answer
    assert any("no sodium that was not measured can mend it" in note for note in topic.notes)


def test_no_empty_table_of_checks_is_shown(club: Club) -> None:
    bare = with_sample(
        club, tuple(club.samples[0].mmol_l), alkalinity_meq_l=None, tds_mg_l=None,
        conductivity_us_cm=None,
    )  # fmt: skip
    topic = topic_of(bare)
    assert all(table.rows for table in topic.tables)
    assert not any(table.title.startswith("Checks on") for table in topic.tables)
    assert "nothing can check it" in topic.answer


def test_names_with_capitals_of_their_own_keep_them(club: Club) -> None:
    topic = topic_of(with_sample(club, ph=None))
    assert any(note.startswith("pH is the missing test") for note in topic.notes)
    assert not any("Ph " in note for note in topic.notes)


def test_what_is_open_tells_litres_low_likely_high(club: Club) -> None:
    topic = topic_of(with_sample(club, ph=None))
    (table,) = [table for table in topic.tables if table.title == "What the sheet leaves open"]
    (row,) = table.rows
    low, taken, high = row[-3:]
    numbers = [float(cell.split(" ")[0].replace(",", "")) for cell in (low, taken, high)]
    assert numbers == sorted(numbers)
    assert "%" in low
    assert "%" in high


def softened(club: Club, **membrane: Any) -> Club:
    unit = ReverseOsmosis("reverse osmosis", 300.0, **membrane)
    train = (*club.train[:2], Softener("softener"), unit, *club.train[2:])
    return replace(club, train=train)


def test_the_processes_show_how_their_figures_came(club: Club) -> None:
    topic = topic_of(softened(club, concentrate_flow_l_h=300.0))
    figures = {working.figure: working for working in topic.workings}
    assert {"Salt for a cubic metre", "Permeate at the temperature of the feed", "Recovery"} == set(
        figures
    )
    salt = figures["Salt for a cubic metre"].inputs
    assert any("assumed" in given for given in salt)
    assert not any("quoted" in given for given in salt)


def test_a_recovery_that_nothing_bounds_is_not_printed_as_found(club: Club) -> None:
    pure = {"Na": 0.05, "Cl": 0.05, "SiO2": 0.001}
    soft = with_sample(
        club, tuple(club.samples[0].mmol_l), mmol_l=pure, alkalinity_meq_l=0.0,
        hardness_mg_l_caco3=0.0, conductivity_us_cm=None, tds_mg_l=None, ph=6.5,
    )  # fmt: skip
    topic = topic_of(softened(soft, recovery_percent=50.0))
    (scale,) = [table for table in topic.tables if table.title == "Scale"]
    assert scale.rows[-1][-1] == "95.0 or more"


def test_the_answer_tells_litres_of_carbon_and_softener(club: Club) -> None:
    town = softened(with_sample(club, others={"chlorine": 0.8}, below_detection=frozenset()))
    answer, reasons = answered(plan_season(town, DAY))
    litres = {each["process"]: each.get("litres") for each in answer["processes"]}
    assert litres["carbon"] == pytest.approx(50_000.0)
    assert litres["softener"] == pytest.approx(27_000.0 / 6.87, rel=0.01)
    plain, reasons = answered(plan_season(club, DAY))
    assert plain["processes"][1]["litres"] is None
    assert "use it up" in reasons["processes.1.litres"]


def test_notes_of_a_blend_name_their_sample(club: Club) -> None:
    town = replace(
        club.samples[0], sample="town 2027", source="town", mmol_l={}, alkalinity_meq_l=None,
        hardness_mg_l_caco3=100.0, conductivity_us_cm=None, tds_mg_l=None,
    )  # fmt: skip
    source = replace(club.source, blend={"well": 1.0, "town": 1.0})
    topic = topic_of(replace(club, samples=(*club.samples, town), source=source))
    assert any(note.startswith("town 2027: Silica was not measured") for note in topic.notes)
    assert not any(note.startswith("Silica was not measured") for note in topic.notes)
