"""A checked batch in words."""

import dataclasses

import pytest

from waterkit.pages.view.batch_check import checked_batch
from waterkit.pages.view.figures import NBSP, Figures
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.batch_check import check_batch


@pytest.mark.parametrize(
    ("jug", "answer"),
    [
        ("381 g", "As planned: go on."),
        ("330 g", "Thin: add 4.11 kg of powder, mix again."),
        ("405 g", "Thick: add 18.8 L of water, mix again."),
        ("0 g", "Far from the plan: count the bags and weigh again before anything is added."),
    ],
)
def test_the_outcome_comes_first(plan: SeasonPlan, figures: Figures, jug: str, answer: str) -> None:
    topic = checked_batch(check_batch(plan, 1, jug, None), figures)
    assert topic.answer.replace(NBSP, " ") == answer
    assert "planned 0.103" in topic.facts[0].remark
    assert topic.facts[0].remark.startswith("between ")


def test_bags_have_no_range(plan: SeasonPlan, figures: Figures) -> None:
    topic = checked_batch(check_batch(plan, 1, None, "30 kg"), figures)
    assert topic.title == "Batch 1, checked by its bags"
    assert topic.facts[0].remark.startswith("planned ")


def test_what_nobody_can_tell_is_said(plan: SeasonPlan, figures: Figures) -> None:
    white = dataclasses.replace(plan.club.white, jug_l=1.0, scale_g=50.0)
    coarse = plan_season(dataclasses.replace(plan.club, white=white), plan.as_of)
    topic = checked_batch(check_batch(coarse, 1, "74 g", None), figures)
    assert topic.answer == "Jug and scale cannot tell: count the bags."


def test_what_the_tank_has_no_room_for_is_pumped_into_a_drum(
    plan: SeasonPlan, figures: Figures
) -> None:
    # Four bags of 10 kg in 290.5 L of water: 300.2 L, and 96.8 L of water make 397.0 L; the tank
    # holds 320 L, so 77 / 397 of it, 58.3 L, come out and take 18.8 L of the water.
    checked = check_batch(plan, 1, None, "40 kg")
    topic = checked_batch(checked, figures)
    assert topic.answer.replace(NBSP, " ") == (
        "Thick: pump 58.3 L into a clean drum first, then add 78.0 L of water to the tank and"
        " 18.8 L to the drum, mix again."
    )
    assert any("Spray nothing before" in note for note in topic.notes)
