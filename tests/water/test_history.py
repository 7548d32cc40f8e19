import datetime as dt

import pytest

from waterkit.water.history import sample_notes
from waterkit.water.sample import Sample


def sample(name: str, date: dt.date, hardness: float, source: str = "well") -> Sample:
    return Sample(name, source, date, "feed", {}, hardness_mg_l_caco3=hardness, ph=7.4)


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
