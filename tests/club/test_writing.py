"""A club written to a folder is read back as the same club."""

import dataclasses
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.club.clubs import clubs
from waterkit.club import inspect_club, read_club
from waterkit.club.schema import Club, Figure, Scenario
from waterkit.club.writing import club_files, write_club
from waterkit.errors import MachineError
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.water.readings import Readings

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
APART = ("folder", "problems", "figures", "readings", "samples")
"""Compared in a way of their own: what is where, notes in any order, arrays with NaN."""
SLOW = settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def told(club: Club) -> dict[str, Any]:
    """All that two clubs must have in common; notes of a sample in any order."""
    fields = {f.name: getattr(club, f.name) for f in dataclasses.fields(Club)}
    samples = [dataclasses.replace(sample, notes=()) for sample in club.samples]
    notes = [sorted(map(repr, sample.notes)) for sample in club.samples]
    plain = {name: value for name, value in fields.items() if name not in APART}
    return {**plain, "samples": samples, "notes": notes, "readings": columns(club.readings)}


def columns(readings: Readings | None) -> dict[str, list[str]] | None:
    """Readings to the last digit; NaN is NaN."""
    if readings is None:
        return None
    return {
        item.name: [repr(value) for value in getattr(readings, item.name).tolist()]
        for item in dataclasses.fields(Readings)
    }


def figures(club: Club) -> dict[str, tuple[Any, ...]]:
    """Figures by path, but for the line they stand in; what had a line must have one again."""
    return {
        figure.path: (
            figure.value, figure.unit, figure.basis, figure.low, figure.high, figure.note,
            figure.file, figure.line is not None,
        )
        for figure in club.figures
    }  # fmt: skip


def there_and_back(club: Club, folder: Path) -> Club:
    write_club(club, folder)
    found, problems = inspect_club(folder)
    assert [str(problem) for problem in problems if problem.severity == "error"] == []
    assert found is not None
    return found


@SLOW
@given(clubs())
def test_any_club_is_read_back_as_it_was(club: Club) -> None:
    with tempfile.TemporaryDirectory() as folder:
        assert told(there_and_back(club, Path(folder))) == told(club)


@st.composite
def with_ranges(draw: st.DrawFn, given_figures: tuple[Figure, ...]) -> dict[str, Figure]:
    """Some figures with a range; in club.toml also with another basis and a note."""
    ranged: dict[str, Figure] = {}
    for figure in draw(st.lists(st.sampled_from(given_figures), max_size=8)):
        spread = abs(figure.value) * draw(st.floats(0, 0.01))
        low = draw(st.none() | st.just(figure.value - spread))
        more: dict[str, Any] = {"low": low if low is None or low >= 0 else None}
        if figure.file == "club.toml":
            more["basis"] = draw(st.sampled_from(["measured", "quoted", "assumed"]))
            more["note"] = draw(st.sampled_from(["", 'two "holes", drilled', "a # b = [c]"]))
        ranged[figure.path] = dataclasses.replace(figure, **more)
    return ranged


@SLOW
@given(clubs(), st.data())
def test_ranges_basis_and_notes_are_read_back(club: Club, data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as first, tempfile.TemporaryDirectory() as second:
        read = there_and_back(club, Path(first))
        written = tuple(figure for figure in read.figures if figure.line is not None)
        ranged = data.draw(with_ranges(written))
        changed = tuple(ranged.get(figure.path, figure) for figure in read.figures)
        again = there_and_back(dataclasses.replace(read, figures=changed), Path(second))
    assert figures(again) == figures(dataclasses.replace(read, figures=changed))
    assert told(again) == told(club)


def test_the_demo_is_read_back_with_every_figure(tmp_path: Path) -> None:
    demo = read_club(DEMO)
    again = there_and_back(demo, tmp_path / "again")
    assert told(again) == told(demo)
    assert figures(again) == figures(demo)


def test_headings_and_texts_carry_their_units() -> None:
    files = club_files(read_club(DEMO))
    assert 'set_point = "-6 degC"' in files["club.toml"]
    assert 'ratio = { value = "0.1 kg/L water", low = "0.09 kg/L water"' in files["club.toml"]
    assert "depth per pass [mm]" in files["layers.csv"].splitlines()[0]
    assert files["water-tests.csv"].splitlines()[0].startswith("sample,date,analyte,value")
    assert "well 2027,2027-06-22,ammonium,<0.05,well,mg/L" in files["water-tests.csv"]


@pytest.mark.parametrize(
    "name",
    [
        'say "ice"',
        "a, b; c",
        "back\\slash",
        "# no comment",
        "x = [1]",
        "tab\x01bell",
        "漢字 – ½",
        "'''",
    ],
)
def test_hostile_names_survive(name: str, tmp_path: Path) -> None:
    demo = read_club(DEMO)
    item = dataclasses.replace(demo.items[0], item=name)
    offers = tuple(
        dataclasses.replace(offer, item=name) if offer.item == demo.items[0].item else offer
        for offer in demo.offers
    )
    club = dataclasses.replace(demo, name=name, items=(item, *demo.items[1:]), offers=offers)
    again = there_and_back(club, tmp_path / "club")
    assert (again.name, again.items[0].item) == (name, name)


def test_a_stale_figure_does_not_give_its_range_to_another_value(tmp_path: Path) -> None:
    demo = read_club(DEMO)
    club = dataclasses.replace(demo, pebble=dataclasses.replace(demo.pebble, waste_percent=30.0))
    again = there_and_back(club, tmp_path / "club")
    waste = next(figure for figure in again.figures if figure.path == "pebble.waste")
    assert (waste.value, waste.low, waste.high) == (30.0, None, None)


def test_scenarios_are_read_back(tmp_path: Path) -> None:
    demo = read_club(DEMO)
    overlay = {"changeout": {"at": ["5 uS/cm"], "spare": 3}, "name": "with a softener"}
    scenario = Scenario("softer", "scenarios/softer.toml", overlay)
    again = there_and_back(dataclasses.replace(demo, scenarios=(scenario,)), tmp_path / "club")
    assert [(one.name, one.overlay) for one in again.scenarios] == [("softer", overlay)]


def test_readings_are_read_back(tmp_path: Path) -> None:
    demo = read_club(DEMO)
    words = {name: np.array(["tank", "", ""][:2]) for name in ("use", "vessel", "by", "note")}
    readings = Readings(
        time=np.array(["2027-10-31T00:30", "2027-10-31T01:30"], dtype="M8[s]"),
        point=np.array(["tank", "lead outlet"]),
        conductivity_us_cm=np.array([1.3, 0.065]),
        temperature_c=np.array([5.5, np.nan]),
        meter=np.array(["pocket meter", ""]),
        compensation=np.array(["", "none"]),
        reference_c=np.array([np.nan, 25.0]),
        treated_total_l=np.array([np.nan, np.nan]),
        **{**words, "use": np.array(["flood", ""])},
    )
    again = there_and_back(dataclasses.replace(demo, readings=readings), tmp_path / "club").readings
    assert again is not None
    for field in dataclasses.fields(Readings):
        np.testing.assert_array_equal(getattr(again, field.name), getattr(readings, field.name))


def test_nothing_is_overwritten_and_nothing_is_half_written(tmp_path: Path) -> None:
    (tmp_path / "stock.csv").write_text("precious\n", "utf-8")
    with pytest.raises(MachineError, match=r"stock\.csv"):
        write_club(read_club(DEMO), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["stock.csv"]
    blocked = tmp_path / "club"
    blocked.mkdir()
    (blocked / "scenarios").write_text("in the way", "utf-8")
    scenario = Scenario("x", "scenarios/x.toml", {"name": "x"})
    with pytest.raises(MachineError):
        write_club(dataclasses.replace(read_club(DEMO), scenarios=(scenario,)), blocked)
    assert [path.name for path in blocked.iterdir()] == ["scenarios"]


def test_a_mark_of_each_kind_is_written_as_it_is_read(tmp_path: Path) -> None:
    marks = (Endpoint("silica", 0.5), Endpoint("conductivity", 1.25), Endpoint("litres", 82.5))
    demo = read_club(DEMO)
    club = dataclasses.replace(demo, changeout=dataclasses.replace(demo.changeout, at=marks))
    assert there_and_back(club, tmp_path / "club").changeout.at == marks
