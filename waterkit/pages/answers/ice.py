"""Answers about the ice: layers, pebble."""

from waterkit.pages.answers.values import LATER, Answer, number, reasons_for_null
from waterkit.plan import SeasonPlan


def layers(plan: SeasonPlan) -> Answer:
    """Each step's litres, ice, hours and moments, and the latest start for opening day."""
    steps = [
        {
            "step": step.row.step,
            "kind": step.row.kind,
            "use": step.water.use,
            "litres": number(step.water.litres_l),
            "loss_litres": number(step.water.loss_l),
            "depth_mm_water": number(step.water.depth_mm_water),
            "ice_mm": number(step.water.ice_mm),
            "apply_h": number(step.hours.apply_h),
            "freeze_h": number(step.hours.freeze_h),
            "start": step.start.isoformat() if step.start else None,
            "done": step.end.isoformat() if step.end else None,
            "is_past": step.done,
        }
        for step in plan.steps
    ]
    answer = {
        "steps": steps,
        "litres_total": number(sum(step.water.litres_l for step in plan.steps)),
        "loss_litres_total": number(sum(step.water.loss_l for step in plan.steps)),
        "ice_mm_total": number(plan.ice_mm),
        "plant_l_h": number(plan.freezing.litres_per_hour),
        "start": plan.start.isoformat() if plan.start else None,
        "rules_broken": None,
    }
    reasons = {
        "rules_broken": f"the rules of order are {LATER}",
        "start": "the step is done",
        "use": "any water will do",
    }
    return answer, reasons_for_null(answer, reasons)


def pebble(plan: SeasonPlan) -> Answer:
    """Pebble water and ice week by week."""
    weeks = [
        {
            "week": week.week,
            "draws": week.draws,
            "litres": number(week.litres),
            "relevel_litres": number(week.relevel_litres),
            "ice_added_mm": number(week.ice_added_mm),
            "ice_removed_mm": number(week.ice_removed_mm),
            "ice_mm": number(week.ice_mm),
        }
        for week in plan.weeks
    ]
    total = sum(week.litres for week in plan.weeks)
    return {"weeks": weeks, "litres_total": number(total)}, {}
