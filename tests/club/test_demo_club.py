"""The invented club: complete, coherent, packaged as it stands in data/."""

import shutil
import time
from collections import Counter
from pathlib import Path
from typing import get_args

import pytest

from waterkit.club import inspect_club, read_club
from waterkit.club.demo_folder import demo_files, write_demo
from waterkit.errors import MachineError
from waterkit.ice.sheet import floor_area_m2
from waterkit.purchasing.records import Driver
from waterkit.treatment.train import Carbon, Deioniser, Filter, Tank
from waterkit.water.checks import check_sample

DATA = Path(__file__).parents[2] / "data"
DEMO = DATA / "demo-club"


def test_the_packaged_demo_is_the_one_in_data() -> None:
    assert demo_files() == {path.name: path.read_bytes() for path in DEMO.iterdir()}


def test_demo_is_written_and_read(tmp_path: Path) -> None:
    written = write_demo(tmp_path / "a" / "club")
    assert sorted(written) == sorted((tmp_path / "a" / "club").iterdir())
    assert read_club(tmp_path / "a" / "club").name == read_club(DEMO).name


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    mine = tmp_path / "draws.csv"
    mine.write_text("mine")
    with pytest.raises(MachineError, match=r"draws\.csv"):
        write_demo(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["draws.csv"]
    assert mine.read_text() == "mine"


def test_demo_has_no_problem_and_says_that_it_is_invented() -> None:
    club, problems = inspect_club(DEMO)
    assert problems == ()
    assert club is not None
    assert "invented" in club.name
    for name in ("club.toml", "README.md"):
        assert "invented" in (DEMO / name).read_text(encoding="utf-8").split("\n\n")[0].lower()


def test_every_driver_has_an_item_and_every_item_a_price() -> None:
    club = read_club(DEMO)
    assert {item.driver for item in club.items} == set(get_args(Driver))
    assert {item.item for item in club.items} == {offer.item for offer in club.offers}


def test_vessels_stand_in_lead_and_lag_with_two_spares() -> None:
    club = read_club(DEMO)
    assert Counter(vessel.position for vessel in club.vessels) == {"lead": 1, "lag": 1, "spare": 2}
    assert [type(process) for process in club.train] == [Filter, Carbon, Deioniser, Tank]


def test_the_water_passes_every_check_of_standard_methods() -> None:
    """Standard Methods 1030 E: the demo's analysis is coherent, so that it shows a clean sheet."""
    (sample,) = read_club(DEMO).samples
    checks = check_sample(sample)
    assert checks
    assert [check.name for check in checks if not check.passed] == []


def test_the_build_takes_what_is_common_for_a_sheet() -> None:
    """5 to 6.5 m3 for a sheet: common practice, no source. White comes on top."""
    club = read_club(DEMO)
    sheets = club.rink.sheets * club.rink.sheet_length_m * club.rink.sheet_width_m
    litres = 0.0
    for step in club.layers:
        area = floor_area_m2(club.rink) if step.area.of == "floor" else sheets
        litres += step.passes * (step.depth_per_pass_mm or 0.0) * area
        litres += step.passes * (step.litres_per_pass_and_sheet_l or 0.0) * club.rink.sheets
    assert 5.0 <= litres / 1000 / club.rink.sheets <= 6.5


def test_every_key_of_the_demo_is_commented() -> None:
    lines = (DEMO / "club.toml").read_text(encoding="utf-8").split("\n")
    bare = [
        line
        for above, line in zip(["", *lines], lines, strict=False)
        if " = " in line and "#" not in line and not above.startswith("#")
    ]
    assert [line.split(" = ")[0] for line in bare] == ["  { from"]  # told above the list


def test_reading_the_demo_takes_well_under_a_second() -> None:
    read_club(DEMO)
    start = time.perf_counter()
    read_club(DEMO)
    assert time.perf_counter() - start < 0.5


@pytest.mark.parametrize(
    "water", sorted((DATA / "published-waters").iterdir()), ids=lambda path: path.name
)
def test_published_water_can_be_the_feed(water: Path, tmp_path: Path) -> None:
    write_demo(tmp_path / "club")
    shutil.copy(water / "water-tests.csv", tmp_path / "club")
    club, problems = inspect_club(tmp_path / "club")
    assert problems == ()
    assert club is not None
    assert [sample.point for sample in club.samples] == ["feed"]
    assert (water / "SOURCE.md").is_file()


def test_stuyfzand_row_15_is_read_as_printed(tmp_path: Path) -> None:
    """Stuyfzand (1987), table 3.1, row 15, from the printed mg/L and IUPAC atomic weights."""
    write_demo(tmp_path / "club")
    folder = DATA / "published-waters" / "stuyfzand-1987-row-15"
    shutil.copy(folder / "water-tests.csv", tmp_path / "club")
    (sample,) = read_club(tmp_path / "club").samples
    assert sample.mmol_l["Ca"] == pytest.approx(101 / 40.078, rel=1e-4)
    assert sample.mmol_l["HCO3"] == pytest.approx(185 / 61.017, rel=1e-4)
    assert sample.mmol_l["NO3"] == pytest.approx(69.5 / 62.005, rel=1e-4)
    assert sample.ph == pytest.approx(7.57)
    # 585 uS/cm at 20 degC is a tenth to an eighth more at 25 degC (natural waters)
    assert 1.10 < (sample.conductivity_us_cm or 0) / 585 < 1.15
