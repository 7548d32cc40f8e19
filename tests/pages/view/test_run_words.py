"""The run of a vessel in words: three orders, acid, silica, and what to do at each point."""

import pytest

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.run_words import AFTER, NOT_BY_THE_METER, points, story, what_to_do
from waterkit.plan import SeasonPlan
from waterkit.plan.bed import RunPoint
from waterkit.treatment.bed import Bed, FeedWater
from waterkit.treatment.breakthrough import Leaving
from waterkit.treatment.column import run_column

HARD = {"Na": 1.2, "K": 0.1, "Ca": 2.4, "Mg": 1.0, "Cl": 1.5, "SO4": 0.6, "C": 5.8, "SiO2": 0.3}
SALTY = {"Na": 1.4, "Ca": 0.35, "Mg": 0.2, "Cl": 1.8, "SO4": 0.2, "C": 0.45, "SiO2": 0.1}


def told(feed: dict[str, float], bed: Bed, figures: Figures) -> str:
    return " ".join(story(run_column([bed], FeedWater(feed, 10.0)), figures))


@pytest.mark.parametrize(
    ("feed", "bed", "says"),
    [
        (HARD, Bed(0.24, 0.16, 0.4), "The anion side is spent first: silica comes first, then"),
        (HARD, Bed(0.14, 0.23, 0.4), "sodium comes first, as caustic of up to pH 11"),
        ({"Na": 3.0, "Cl": 3.0}, Bed(0.1, 0.1, 0.4), "Both sides are spent together"),
        (SALTY, Bed(0.24, 0.10, 0.4), "strong acid leaves, down to pH 2"),
        (HARD, Bed(0.24, 0.16, 0.4), "Silica leaves in a wave of up to"),
        (HARD, Bed(0.24, 0.16, 0.4), NOT_BY_THE_METER),
    ],
)
def test_the_order_is_told_in_words(
    feed: dict[str, float], bed: Bed, says: str, figures: Figures
) -> None:
    assert says in told(feed, bed, figures)


def test_where_the_meter_jumps_first_nobody_is_told_that_it_shows_nothing(
    figures: Figures,
) -> None:
    words = told(HARD, Bed(0.14, 0.23, 0.4), figures)
    assert NOT_BY_THE_METER not in words
    assert "shows next to nothing" not in words


def test_one_ion_alone_is_a_whole_sentence(figures: Figures) -> None:
    words = told({"C": 1.0}, Bed(0.2, 0.1, 0.4), figures)
    assert "comes first, then" not in words


def test_each_point_says_what_to_do(plan: SeasonPlan, figures: Figures) -> None:
    table = points(plan, figures)
    assert len(table.rows) == len(plan.run_points) == len(table.groups)
    words = list(table.groups.values())
    change = next(place for place, text in enumerate(words) if "Change the vessel now" in text)
    assert all(AFTER in text for text in words[change + 1 :])
    assert all(AFTER not in text for text in words[: change + 1])


@pytest.mark.parametrize(("us_cm", "says"), [(0.06, "does not"), (743.0, "shows it too")])
def test_silica_says_whether_the_meter_shows_it(us_cm: float, says: str) -> None:
    point = RunPoint("silica", Leaving(100.0, us_cm, us_cm, 0.1, 7.0))
    assert says in next(iter(what_to_do((point,))))
