"""Checking a batch as somebody types it: by jug, by bags, and what cannot be read."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from waterkit.club import read_club
from waterkit.errors import InputError
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.batch_check import check_batch
from waterkit.plan.mixing import mixing

DEMO = Path(__file__).parents[2] / "data" / "demo-club"


@pytest.fixture(scope="module")
def plan() -> SeasonPlan:
    return plan_season(read_club(DEMO), dt.date(2027, 8, 15))


@pytest.mark.parametrize(
    ("jug", "outcome"),
    [("369 g", "as planned"), ("0.369 kg", "as planned"), ("330 g", "thin"), ("420 g", "thick")],
)
def test_a_jug_is_judged(plan: SeasonPlan, jug: str, outcome: str) -> None:
    checked = check_batch(plan, 1, jug, None)
    assert (checked.by, checked.batch.batch, checked.reading.outcome) == ("jug", 1, outcome)


def test_what_is_to_be_added_is_for_all_that_is_in_the_tank(plan: SeasonPlan) -> None:
    first, second = (check_batch(plan, number, "330 g", None) for number in (1, 2))
    mixed = mixing(plan)
    assert mixed is not None
    marks = [batch.mark_l for batch in mixed.batches]
    added = [first.reading.add_powder_kg, second.reading.add_powder_kg]
    assert added[1] / added[0] == pytest.approx(marks[1] / marks[0])


def test_bags_are_judged(plan: SeasonPlan) -> None:
    checked = check_batch(plan, 1, None, "20 kg")
    assert (checked.by, checked.reading.outcome) == ("bags", "thin")
    assert checked.reading.add_powder_kg == pytest.approx(10.0, abs=1e-3)
    assert check_batch(plan, 1, None, "66.14 lb").reading.outcome == "as planned"


def test_bags_are_judged_by_what_the_card_tells(plan: SeasonPlan) -> None:
    # Both cards take three bags of 10 kg: nothing is to be weighed, at the ratio of whole bags.
    for number in (1, 2):
        checked = check_batch(plan, number, None, "30 kg")
        assert checked.reading.ratio_kg_l == pytest.approx(checked.planned.value_kg_l, rel=1e-4)
        assert checked.batch.whole_bags == 3


@pytest.mark.parametrize(
    ("number", "jug", "powder", "field", "message"),
    [
        (3, "300 g", None, "--batch", "the plan has no batch 3"),
        (1, None, None, "--batch", "by jug or by powder"),
        (1, "300 g", "30 kg", "--batch", "by jug or by powder"),
        (1, "300", None, "--jug", "has no unit"),
        (1, "three", None, "--jug", "is not a number"),
        (1, "300 L", None, "--jug", "L"),
        (1, "30 kg", None, "--jug", "cannot weigh"),
        (1, "-20 g", None, "--jug", "less than water"),
        (1, None, "0 kg", "--powder", "no powder went in"),
        (1, None, "30 gal", "--powder", "more than one thing"),
    ],
)
def test_what_cannot_be_read_names_its_option_and_a_cure(
    plan: SeasonPlan, number: int, jug: str | None, powder: str | None, field: str, message: str
) -> None:
    with pytest.raises(InputError) as caught:
        check_batch(plan, number, jug, powder)
    (problem,) = caught.value.problems
    assert (problem.file, problem.field) == ("waterkit paint", field)
    assert message in problem.message
    assert problem.hint


def test_without_a_jug_the_jug_is_asked_for(plan: SeasonPlan) -> None:
    club = replace(plan.club, white=replace(plan.club.white, jug_l=None))
    with pytest.raises(InputError, match="--jug: no jug to check a batch with"):
        check_batch(plan_season(club, plan.as_of), 1, "300 g", None)


def test_no_white_no_batch(plan: SeasonPlan) -> None:
    layers = tuple(row for row in plan.club.layers if row.kind != "white")
    bare = plan_season(replace(plan.club, layers=layers), plan.as_of)
    with pytest.raises(InputError, match="no batch 1"):
        check_batch(bare, 1, "300 g", None)
