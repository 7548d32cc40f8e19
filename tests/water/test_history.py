import datetime as dt
from collections.abc import Mapping
from typing import Any

import pytest

from waterkit.water.history import sample_notes
from waterkit.water.sample import Sample

NOTHING: Mapping[str, float] = {}


def sample(
    name: str,
    date: dt.date,
    hardness: float | None,
    source: str = "well",
    mmol_l: Mapping[str, float] = NOTHING,
    **measured: Any,
) -> Sample:
    told: dict[str, Any] = {"ph": 7.4, **measured}
    return Sample(name, source, date, "feed", mmol_l, hardness_mg_l_caco3=hardness, **told)


OLD = sample("old", dt.date(2025, 6, 1), 200.0)
NEW = sample("new", dt.date(2027, 6, 1), 300.0)
AS_OF = dt.date(2027, 8, 15)


def test_a_fresh_sample_needs_no_word() -> None:
    assert sample_notes([NEW], AS_OF, 10.0) == ()


def test_an_old_sample_is_told() -> None:
    (note,) = sample_notes([NEW], dt.date(2028, 9, 1), 10.0)
    assert (note.key, note.values["months"]) == ("sample-old", 15)


def test_samples_that_disagree_are_told_with_the_difference() -> None:
    (note,) = sample_notes([NEW, OLD], AS_OF, 10.0)
    assert (note.key, note.values["older"], note.values["newer"]) == (
        "samples-disagree",
        "old",
        "new",
    )
    assert note.values["percent"] == pytest.approx(47.0, abs=3.0)  # silica is the same in both


def test_samples_of_two_sources_are_not_held_against_each_other() -> None:
    town = sample("town", dt.date(2027, 5, 1), 100.0, "town")
    assert sample_notes([town, NEW], AS_OF, 10.0) == ()


def test_a_sample_to_come_does_not_count() -> None:
    assert sample_notes([NEW], dt.date(2027, 1, 1), 10.0) == ()


def test_every_sample_of_late_is_held_against_the_one_in_force() -> None:
    days = (dt.date(2025, 6, 1), dt.date(2026, 5, 1), dt.date(2027, 1, 1), dt.date(2027, 6, 1))
    several = [
        sample(f"s{mg_l:.0f}", day, mg_l)
        for day, mg_l in zip(days, (300.0, 500.0, 310.0, 305.0), strict=True)
    ]
    (note,) = sample_notes(several, AS_OF, 10.0)
    assert (note.values["older"], note.values["newer"]) == ("s500", "s305")
    assert note.values["percent"] == pytest.approx(-38.0, abs=3.0)


def test_a_sample_of_long_ago_does_not_count() -> None:
    ages_ago = sample("ages ago", dt.date(2023, 6, 1), 600.0)
    assert sample_notes([ages_ago, NEW], AS_OF, 10.0) == ()


def test_two_samples_of_one_day_are_held_against_each_other() -> None:
    (note,) = sample_notes([NEW, sample("same day", NEW.date, 420.0)], AS_OF, 10.0)
    assert note.key == "samples-disagree"


def test_a_sample_drawn_behind_a_softener_is_told_though_the_load_is_the_same() -> None:
    hard = sample("hard", dt.date(2027, 5, 1), 344.0, alkalinity_meq_l=6.87)
    soft = sample("soft", dt.date(2027, 7, 1), 0.0, mmol_l={"Na": 6.87}, alkalinity_meq_l=6.87)
    keys = {note.key: note for note in sample_notes([hard, soft], AS_OF, 10.0)}
    assert set(keys) == {"samples-differ"}
    assert keys["samples-differ"].values["analytes"] == ("hardness",)
    assert keys["samples-differ"].values["then_mg_l"] == 344.0


def test_silica_that_changed_is_told() -> None:
    before = sample("before", dt.date(2027, 5, 1), 300.0, mmol_l={"SiO2": 0.1})
    after = sample("after", dt.date(2027, 6, 1), 300.0, mmol_l={"SiO2": 0.4})
    (note,) = sample_notes([before, after], AS_OF, 10.0)
    assert (note.key, note.values["analytes"]) == ("samples-differ", ("SiO2",))


def test_a_fuller_sample_that_a_newer_one_displaces_is_told() -> None:
    whole = {"Ca": 1.4, "Mg": 0.5, "Na": 1.2, "Cl": 0.6, "SO4": 0.8, "NO3": 0.1, "SiO2": 0.2}
    full = sample("full", dt.date(2027, 5, 1), None, mmol_l=whole, alkalinity_meq_l=2.8)
    thin = sample("thin", dt.date(2027, 7, 1), None, ph=None, conductivity_us_cm=480.0)
    notes = {note.key: note for note in sample_notes([full, thin], AS_OF, 10.0)}
    assert (notes["fuller-sample"].values["sample"], notes["fuller-sample"].values["fuller"]) == (
        "thin", "full",
    )  # fmt: skip
    assert "SiO2" in notes["fuller-sample"].values["analytes"]  # type: ignore[operator]
    assert "fuller-sample" not in [note.key for note in sample_notes([thin, full], thin.date, 10.0)
                                   if note.values.get("sample") == "full"]  # fmt: skip
