"""Answers about the ice: layers, paint, pebble."""

from waterkit.pages.answers.values import LATER, Answer, Json, number, reasons_for_null, speaker
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


def paint(plan: SeasonPlan) -> Answer:
    """The batches of white, with the powder to weigh and the bags to have."""
    paint, say = plan.paint, speaker(plan)
    if paint is None:
        answer: Json = {"batches": [], "powder_kg": None, "water_l": None, "bags": None}
        why = "the layer plan has no white to come"
        return answer, reasons_for_null(answer, dict.fromkeys(answer, why))
    batches = [
        {
            "batch": batch.batch,
            "water_l": number(batch.water_l),
            "powder_kg": number(batch.powder_kg),
            "mix_l": number(batch.mix_l),
            "density_kg_l": number(batch.density_kg_l),
            "whole_bags": batch.whole_bags,
            "weighed_kg": number(batch.weighed_kg),
        }
        for batch in paint.batches
    ]
    answer = {
        "batches": batches,
        "powder_kg": number(paint.powder_kg),
        "water_l": number(paint.water_l),
        "mix_l": number(paint.mix_l),
        "grams_per_m2": number(paint.grams_per_m2),
        "bags": paint.bags,
        "paint_notes": [say(note) for note in paint.notes],
    }
    why = "no offer says how much a bag of the powder holds"
    return answer, reasons_for_null(
        answer, dict.fromkeys(("bags", "whole_bags", "weighed_kg"), why)
    )


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
