import dataclasses
import datetime as dt
from decimal import Decimal

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.workings import working_out
from waterkit.plan import SeasonPlan
from waterkit.working import COMMON_PRACTICE, Given, Note, Source, Working

WORKING = Working(
    "mix to make",
    "area x coats - nothing",
    (
        Given("coats", 4, "1", "quoted"),
        Given("lost beside the ice", 7.0, "%", path="white.loss"),
        Given("unwritten", 10.0, "uS/cm", path="limits.mist.good"),
        Given("paid", Decimal("12.50"), basis="worked out"),
        Given("first draw", dt.date(2027, 10, 2), basis="quoted"),
    ),
    595.6,
    "L",
    COMMON_PRACTICE,
    (Note("default-layers"),),
)


def test_an_input_tells_whose_it_is_where_it_stands_and_how_far_it_may_be_off(
    plan: SeasonPlan, figures: Figures
) -> None:
    told = working_out(WORKING, plan.club, figures)
    inputs = [text.replace("\u00a0", " ") for text in told.inputs]
    own = next(each for each in plan.club.figures if each.path == "white.loss")
    assert inputs == [
        "Coats: 4 (quoted)",
        f"Lost beside the ice: 7 % (assumed, club.toml:{own.line}; 5 % to 12 %)",
        "Unwritten: 10 µS/cm (assumed, a default)",
        "Paid: €12.50 (worked out)",
        "First draw: Sat, Oct 2, 2027 (quoted)",
    ]


def test_a_working_is_told_in_words_with_its_source_and_notes(
    plan: SeasonPlan, figures: Figures
) -> None:
    told = working_out(WORKING, plan.club, figures)
    assert told.figure == "Mix to make"
    assert told.formula == "area × coats − nothing"
    assert told.result.replace("\u00a0", " ") == "596 L"
    assert told.source == "common practice, no source"
    assert len(told.notes) == 1


def test_a_source_from_memory_says_so(plan: SeasonPlan, figures: Figures) -> None:
    working = dataclasses.replace(WORKING, source=Source("book", "A book", "memory"))
    assert working_out(working, plan.club, figures).source == "A book (quoted from memory)"


def test_workings_read_gallons_where_the_club_does(plan: SeasonPlan) -> None:
    told = working_out(WORKING, plan.club, Figures("us", "en_US", "USD"))
    assert told.result.replace("\u00a0", " ") == "157 US gal"
