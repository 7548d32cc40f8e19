"""The resin in words: the answer, the ways to its litres, what the model leaves out."""

import dataclasses

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.resin import resin
from waterkit.plan import SeasonPlan, plan_season
from waterkit.treatment.ion_exchange import Changeout, Endpoint


def test_what_the_model_leaves_out_is_said(plan: SeasonPlan, figures: Figures) -> None:
    notes = " ".join(resin(plan, figures).notes)
    for word in ("ideal bed", "channels", "fouling", "age", "No published constant"):
        assert word in notes
    assert "a fresh lag behind it still gives" in notes


def test_a_mark_that_cannot_tell_is_said(plan: SeasonPlan, figures: Figures) -> None:
    changeout = Changeout((Endpoint("conductivity", 0.02),))
    blind = plan_season(dataclasses.replace(plan.club, changeout=changeout), plan.as_of)
    notes = " ".join(resin(blind, figures).notes)
    assert "Fresh resin itself gives water at or above 0.02\u00a0µS/cm" in notes


def test_marks_that_cannot_tell_are_no_part_of_the_answer(
    plan: SeasonPlan, figures: Figures
) -> None:
    marks = (Endpoint("conductivity", 0.02), Endpoint("silica", 0.5))
    some = plan_season(dataclasses.replace(plan.club, changeout=Changeout(marks)), plan.as_of)
    answer = resin(some, figures).answer.replace("\u00a0", " ")
    assert "silica 0.5 mg/L" in answer
    assert "0.02" not in answer
    none = plan_season(dataclasses.replace(plan.club, changeout=Changeout(marks[:1])), plan.as_of)
    assert resin(none, figures).answer.endswith("at the end of its run.")


def test_the_litres_are_named_after_whom_they_come_from(plan: SeasonPlan, figures: Figures) -> None:
    def first_way(**told: object) -> str:
        lead = dataclasses.replace(plan.club.vessels[0], **told)  # type: ignore[arg-type]
        club = dataclasses.replace(plan.club, vessels=(lead, *plan.club.vessels[1:]))
        topic = resin(plan_season(club, plan.as_of), figures)
        return next(table.rows[0][0] for table in topic.tables if "Ways" in table.title)

    assert first_way() == "rating"
    assert first_way(rated_eq_l=None) == "a common rating, assumed"
    totals = {"rated_eq_l": None, "cation_total_eq_l": 1.9, "anion_total_eq_l": 1.2}
    assert first_way(**totals) == "totals"
