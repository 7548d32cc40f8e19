"""Answers about white paint, colours and lines."""

from collections.abc import Sequence
from dataclasses import asdict

from waterkit.ice.batches import Batch, WholeBags
from waterkit.ice.checking import JugTest
from waterkit.ice.cover import Cover, Range
from waterkit.ice.exposure import dust_limits
from waterkit.ice.progress import Progress, progress
from waterkit.ice.spraying import CoatSpray
from waterkit.pages.answers.values import Answer, Json, number, reasons_for_null, speaker
from waterkit.plan import SeasonPlan
from waterkit.plan.batch_check import Checked
from waterkit.plan.mixing import mixing

NO_BAG = "no offer says how much a bag of the powder holds"
NO_PATCH = "the club has no test patch, or it leaves the coats open"
REASONS = {
    **dict.fromkeys(("bags", "whole_bags", "weighed_kg", "left_in_bag_kg"), NO_BAG),
    "whole_bags_only": "the size of a bag is not known, or the tank takes no whole bag",
    "check": "club.toml tells no jug or no scale",
    **dict.fromkeys(("coats", "coats_low", "coats_high"), NO_PATCH),
    **dict.fromkeys(("grams_m2", "contrast", "scattering_m2_g", "absorbed"), NO_PATCH),
    "markings": "the colours in club.toml hold an error",
}


def paint(plan: SeasonPlan) -> Answer:
    """The batches of white, how to check and spray them, whether they cover, colours and lines."""
    paint, painting, say = plan.paint, plan.painting, speaker(plan)
    mixed = mixing(plan)
    if paint is None or painting is None or mixed is None:
        answer: Json = {"batches": [], "powder_kg": None, "water_l": None, "bags": None}
        why = reasons_for_null(answer, dict.fromkeys(answer, "the layer plan has no white to come"))
        return {**answer, "markings": _markings(plan)}, why
    done = progress(plan.club.white, paint.batches, painting.area_m2)
    answer = {
        "batches": _batches(paint.batches, done),
        "powder_kg": number(paint.powder_kg),
        "water_l": number(paint.water_l),
        "mix_l": number(paint.mix_l),
        "on_ice_l": number(paint.on_ice_l),
        "lost_l": number(paint.lost_l),
        "left_over_l": number(paint.left_over_l),
        "grams_per_m2": number(paint.grams_per_m2),
        "bags": paint.bags,
        "left_in_bag_kg": number(paint.left_in_bag_kg),
        "whole_bags_only": _whole_bags(paint.in_whole_bags),
        "cards": "whole bags" if mixed.whole else "weighed",
        "check": _check(mixed.jug),
        "cover": _cover(painting.cover),
        "spraying": _spraying(painting.spray),
        "markings": _markings(plan),
        "dust_limits": [
            {"powder": limit.powder, "dust": limit.dust, "mg_m3": number(limit.mg_m3),
             "leave_at_once": limit.danger, "source": limit.source.text}
            for limit in dust_limits(plan.club.white.powder)
        ],
        "paint_notes": [say(note) for note in (*paint.notes, *painting.notes)],
    }  # fmt: skip
    return answer, reasons_for_null(answer, REASONS)


def _batches(batches: Sequence[Batch], done: Sequence[Progress]) -> list[Json]:
    return [
        {
            "batch": batch.batch,
            "water_l": number(batch.water_l),
            "powder_kg": number(batch.powder_kg),
            "mix_l": number(batch.mix_l),
            "density_kg_l": number(batch.density_kg_l),
            "mark_l": number(batch.mark_l),
            "whole_bags": batch.whole_bags,
            "weighed_kg": number(batch.weighed_kg),
            "powder_so_far_kg": number(where.powder_kg),
            "water_so_far_l": number(where.water_l),
            "coats_done": where.coats,
            "next_coat_done_m2": number(where.area_m2),
        }
        for batch, where in zip(batches, done, strict=True)
    ]


def _whole_bags(whole: WholeBags | None) -> Json | None:
    if whole is None:
        return None
    return {
        "batches": [
            {"batch": batch.batch, "water_l": number(batch.water_l), "bags": batch.whole_bags,
             "mix_l": number(batch.mix_l), "mark_l": number(batch.mark_l)}
            for batch in whole.batches
        ],
        "bags": whole.bags,
        "ratio_off_percent": number(whole.ratio_percent),
        "more_mix_l": number(whole.more_mix_l),
        "more_batches": whole.more_batches,
        "costs_little": whole.costs_little,
    }  # fmt: skip


def _check(jug: JugTest | None) -> Json | None:
    return None if jug is None else asdict(jug)


def _cover(cover: Cover) -> Json:
    ranges = {
        "grams_m2": cover.grams_m2,
        "contrast": cover.contrast,
        "scattering_m2_g": cover.scattering_m2_g,
        "absorbed": cover.absorbed,
    }
    return {
        "outcome": cover.outcome,
        "coat_g_m2": number(cover.coat_g_m2),
        "coats": cover.coats,
        "coats_low": cover.coats_low,
        "coats_high": cover.coats_high,
        **{name: _range(value) for name, value in ranges.items()},
    }


def _range(value: Range | None) -> Json | None:
    return None if value is None else asdict(value)


def _spraying(spray: CoatSpray) -> Json:
    return {
        "lanes": spray.lanes,
        "lane_m": number(spray.lane_m),
        "pass_l_m2": number(spray.pass_l_m2),
        "pass_l": number(spray.pass_l),
        "passes": spray.passes,
        "pace_m_s": number(spray.pace_m_s),
        "single_pace_m_s": number(spray.single_pace_m_s),
        "coat_l": number(spray.coat_l),
        "spray_h": number(spray.spray_h),
        "frozen_h": number(spray.frozen_h),
        "next_coat_h": number(spray.next_coat_h),
    }


def _markings(plan: SeasonPlan) -> Json | None:
    if plan.club.lacks("colours"):
        return None
    needs = plan.markings
    return {
        "rings": [
            {"ring": ring.ring, "colour": ring.colour, "area_m2": number(ring.area_m2),
             "litres_l": number(ring.litres_l)}
            for ring in needs.rings
        ],
        "colours_l": {colour: number(litres) for colour, litres in needs.litres.items()},
        "discs": needs.discs,
        "yarn_m": number(needs.yarn_m),
        "hog_tape_m": number(needs.hog_tape_m),
        "edge_tape_m": number(needs.edge_tape_m),
        "marks": needs.marks,
    }  # fmt: skip


def batch_check(checked: Checked, plan: SeasonPlan) -> Json:
    """What was found out about one batch."""
    reading, say = checked.reading, speaker(plan)
    return {
        "batch": checked.batch.batch,
        "by": checked.by,
        "outcome": reading.outcome,
        "ratio_kg_l": number(reading.ratio_kg_l),
        "low_kg_l": number(reading.low_kg_l),
        "high_kg_l": number(reading.high_kg_l),
        "planned_kg_l": number(checked.planned.value_kg_l),
        "per": checked.planned.per,
        "add_powder_kg": number(reading.add_powder_kg),
        "add_water_l": number(reading.add_water_l),
        "drum_l": number(reading.drum_l),
        "drum_share": number(reading.drum_share),
        "notes": [say(note) for note in reading.notes],
        "reasons": {},
        "problems": [problem.row for problem in plan.club.problems],
    }
