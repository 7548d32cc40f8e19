"""The answer about the resin: litres by each way to know them, and the bed's run."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

from waterkit.pages.answers.values import Answer, Json, number, reasons_for_null, speaker
from waterkit.pages.view.run_words import meter_of
from waterkit.plan import SeasonPlan
from waterkit.treatment.breakthrough import ColumnRun, Reached
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.points import crossing
from waterkit.treatment.selectivity import LOG_K
from waterkit.treatment.vessel_run import AtChange, VesselRun
from waterkit.water.meter import shown_us_cm
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Curve = NDArray[np.float64]

MARKS: Mapping[str, Endpoint] = {
    "silica_0_1_mg_l": Endpoint("silica", 0.1),
    "conductivity_1_us_cm": Endpoint("conductivity", 1.0),
    "conductivity_10_us_cm": Endpoint("conductivity", 10.0),
}
UNITS = {"silica": "mg/L of silica", "conductivity": "uS/cm at 25 degC", "litres": "%"}
HALF_REACTIONS = {"C": "HCO3", "SiO2": "H3SiO4"}
"""What a bed follows, by the ion that its half reaction is written for."""
_NO_LOAD = "nothing in this water loads the resin"
_NO_RANGE = "no run of a vessel of this kind is written down yet"


def resin(plan: SeasonPlan) -> Answer:
    """Litres of one fresh vessel in the lead, its run litre by litre, and the bed to run again."""
    run, bed, say = plan.resin, plan.bed, speaker(plan)
    rated, learned = plan.by_rating, plan.learned_litres
    litres = None if run is None else number(run.litres_to_exhaustion)
    answer: Json = {
        "vessel": plan.vessel.vessel if plan.vessel else None,
        "limiting": run.limiting if run else None,
        "load_meq_l": number(run.load_meq_l) if run else None,
        "capacity_eq": number(run.capacity_eq) if run else None,
        "litres_to_exhaustion": litres,
        "litres_to_change": number(run.litres_to_change) if run else None,
        "litres_by": {
            "rating": number(rated.litres_to_exhaustion) if rated else None,
            "learned": number(learned.median_l) if learned else None,
            "model": None,
        },
        "learned_range": [number(learned.low_l), number(learned.high_l)] if learned else None,
        "breakthrough": None,
        "litres_to": dict.fromkeys((*MARKS, "solids_limit")),
        "model": None,
    }
    reasons = dict(_REASONS)
    if run is None:
        reasons |= dict.fromkeys(answer, "no vessel stands in the lead")
        reasons |= dict.fromkeys(("rating", "learned", "model"), "no vessel stands in the lead")
    if isinstance(bed, VesselRun):
        found, why = _of_bed(plan, bed)
        answer["litres_by"]["model"] = number(bed.by_model.litres_l)
        answer, reasons = answer | found, reasons | why | _why({"model": (bed.end, bed.by_model)})
    elif bed is not None:
        reasons |= dict.fromkeys(_BED_KEYS, say(bed))
    of_bed = bed.notes if isinstance(bed, VesselRun) else ()
    notes = (*_learned_notes(plan), *(run.notes if run else ()), *of_bed)
    answer["resin_notes"] = list(dict.fromkeys(map(say, notes)))
    return answer, reasons_for_null(answer, reasons)


def _learned_notes(plan: SeasonPlan) -> tuple[Note, ...]:
    """What was learned of the vessel's kind, and what was left out."""
    known = plan.learned.of(plan.vessel) if plan.vessel else None
    return (*(known.notes if known else ()), *plan.learned.notes)


def _of_bed(plan: SeasonPlan, bed: VesselRun) -> tuple[Json, dict[str, str]]:
    """What only the bed as a column tells, and why some marks are not reached."""
    run = bed.run
    reached = {key: run.litres_to(mark) for key, mark in MARKS.items()}
    litres_to: Json = {key: number(each.litres_l) for key, each in reached.items()}
    solids = [limit.solids_mg_l for limit in plan.club.limits.values() if limit.solids_mg_l]
    strictest = min(solids, default=None)
    if strictest is None:
        litres_to["solids_limit"] = None
    else:
        litres_to["solids_limit"] = number(crossing(run.litres, run.solids_mg_l, strictest))
    wave = run.silica_wave
    found = {
        "litres_to": litres_to,
        "breakthrough": {
            "litres": _rounded(run.litres),
            "conductivity_us_cm": _rounded(run.conductivity_25_us_cm),
            "conductivity_as_it_is_us_cm": _rounded(run.conductivity_us_cm),
            "conductivity_as_your_meter_shows_us_cm": _rounded(_shown(plan, run)),
            "meter": meter_of(plan).name,
            "silica_mg_l": _rounded(run.silica_mg_l),
            "ph": _rounded(run.ph),
            "solids_mg_l": _rounded(run.solids_mg_l),
            "mmol_l": {key: _rounded(amount) for key, amount in run.mmol_l.items()},
            "order": [key for key, _ in run.leaving_order],
            "order_litres": [number(litres) for _, litres in run.leaving_order],
            "first_side": run.order,
            "mineral_acid_l": number(run.mineral_acid_l),
            "silica_wave": {
                "peak_mg_l": number(wave.peak_mg_l),
                "peak_at_l": number(wave.peak_at_l),
                "grams_g": number(wave.grams_g),
                "soluble_mg_l": number(wave.soluble_mg_l),
            },
            "mass_balance_error": number(run.balance_error),
        },
        "model": _model(bed),
        "trusted_over_model": number(bed.trusted_over_model),
        "at_change": _at_change(plan.at_change),
    }
    why = _why({key: (MARKS[key], each) for key, each in reached.items()}) | {
        "solids_limit": "no use has a limit of solids in [limits]"
        if strictest is None
        else f"the run of {run.litres[-1]:.0f} L never comes to {strictest:g} mg/L of solids"
    }
    return found, why | {"mineral_acid_l": "no strong acid leaves this bed"}


def _shown(plan: SeasonPlan, run: ColumnRun) -> "Curve":
    """What the club's first meter shows for the water that leaves, at its temperature."""
    celsius = float(plan.reaching.temperature_c)
    return np.asarray(shown_us_cm(run.conductivity_us_cm, celsius, meter_of(plan)))


def _model(bed: VesselRun) -> Json:
    """The scaled bed and its feed, so that anyone can run the same bed in another engine."""
    feed, one = bed.run.feed, bed.bed
    return {
        "cells": one.cells,
        "pore_l": number(one.pore_l),
        "cation_eq": number(one.cation_eq),
        "anion_eq": number(one.anion_eq),
        "temperature_c": number(feed.temperature_c),
        "feed_ph": number(feed.ph),
        "feed_mmol_l": {key: number(amount) for key, amount in feed.mmol_l.items()},
        "log_k": {HALF_REACTIONS.get(key, key): value for key, value in LOG_K.items()},
        "scaled_by": number(bed.factor),
    }


def _at_change(found: AtChange | None) -> Json | None:
    if found is None:
        return None
    return {
        "cation_held": {key: number(share) for key, share in found.cation_held.items()},
        "anion_held": {key: number(share) for key, share in found.anion_held.items()},
        "vessels": found.vessels,
        "outlet_us_cm": number(found.outlet.conductivity_25_us_cm),
        "outlet_silica_mg_l": number(found.outlet.silica_mg_l),
    }


def _rounded(values: "Curve") -> list[float | None]:
    """Numbers to six significant digits: a curve is no more exact."""
    return [number(f"{value:.6g}") for value in values]


def _why(reached: Mapping[str, tuple[Endpoint, Reached]]) -> dict[str, str]:
    """Why a mark is not reached, for each that is not."""
    return {
        key: "what leaves is above this mark from the first litre on"
        if each.reason == "below-fresh-resin"
        else f"the run of {each.ran_l:.0f} L comes to {each.most:.3g} {UNITS[mark.watched]} at most"
        for key, (mark, each) in reached.items()
        if each.litres_l is None
    }


_BED_KEYS = ("model", "breakthrough", "solids_limit", *MARKS)
_REASONS = {
    "learned": _NO_RANGE,
    "learned_range": _NO_RANGE,
    "at_change": "the vessel is never changed",
    "feed_ph": "the feed has no pH of its own",
    "litres_to_exhaustion": _NO_LOAD,
    "litres_to_change": _NO_LOAD,
    "rating": _NO_LOAD,
}
