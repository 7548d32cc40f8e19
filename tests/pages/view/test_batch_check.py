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
        ("369 g", "As planned: go on."),
        ("330 g", "Thin: add 3.25 kg of powder, mix again."),
        ("420 g", "Thick: add 42.4 L of water, mix again."),
    ],
)
def test_the_outcome_comes_first(plan: SeasonPlan, figures: Figures, jug: str, answer: str) -> None:
    topic = checked_batch(check_batch(plan, 1, jug, None), plan, figures)
    assert topic.answer.replace(NBSP, " ") == answer
    assert "planned 0.100" in topic.facts[0].remark
    assert topic.facts[0].remark.startswith("between ")


def test_bags_have_no_range(plan: SeasonPlan, figures: Figures) -> None:
    topic = checked_batch(check_batch(plan, 1, None, "30 kg"), plan, figures)
    assert topic.title == "Batch 1, checked by its bags"
    assert topic.facts[0].remark.startswith("planned ")


def test_what_nobody_can_tell_is_said(plan: SeasonPlan, figures: Figures) -> None:
    white = dataclasses.replace(plan.club.white, jug_l=1.0, scale_g=50.0)
    coarse = plan_season(dataclasses.replace(plan.club, white=white), plan.as_of)
    topic = checked_batch(check_batch(coarse, 1, "74 g", None), coarse, figures)
    assert topic.answer == "Jug and scale cannot tell: count the bags."
