"""Answers about the water: samples, processes, load."""

from waterkit.pages.answers.values import Answer, Json, number, reasons_for_null, speaker
from waterkit.plan import SeasonPlan
from waterkit.treatment.train import ProcessResult
from waterkit.water.composition import dissolved_mg_l
from waterkit.water.saturation import Saturation


def water(plan: SeasonPlan) -> Answer:
    """Every feed sample with its checks, what leaves each process, and the load on the resin."""
    say = speaker(plan)
    samples = [
        {
            "sample": report.sample,
            "date": report.date.isoformat(),
            "in_force": report.sample == plan.feed.in_force.sample,
            "cation_sum_meq_l": number(report.cation_sum_meq_l),
            "anion_sum_meq_l": number(report.anion_sum_meq_l),
            "charge_balance_error_percent": number(report.charge_balance_error_percent),
            "conductivity_calculated_us_cm": number(report.conductivity_calculated_us_cm),
            "conductivity_standard_methods_us_cm": number(
                report.conductivity_standard_methods_us_cm
            ),
            "conductivity_measured_us_cm": number(report.conductivity_measured_us_cm),
            "ionic_strength_mol_l": number(report.ionic_strength_mol_l),
            "ionic_strength_standard_methods_mol_l": number(
                report.ionic_strength_standard_methods_mol_l
            ),
            "tds_calculated_mg_l": number(report.tds_calculated_mg_l),
            "hardness_mg_l_caco3": number(report.hardness_mg_l_caco3),
            "alkalinity_mg_l_caco3": number(report.alkalinity_mg_l_caco3),
            "carbon_dioxide_mg_l": number(report.carbon_dioxide_mg_l),
            "checks": [
                {
                    "name": check.name,
                    "value": number(check.value),
                    "low": number(check.low),
                    "high": number(check.high),
                    "passed": check.passed,
                }
                for check in report.checks
            ],
            "fouling": [
                {
                    "name": check.name,
                    "value": number(check.value),
                    "high": number(check.high),
                    "unit": check.unit,
                    "passed": check.passed,
                }
                for check in report.fouling
            ],
            "saturation": _saturation(report.saturation),
            "unknowns": [
                {
                    "analyte": unknown.analyte,
                    "low": number(unknown.low),
                    "likely": number(unknown.likely),
                    "high": number(unknown.high),
                    "unit": unknown.unit,
                    "litres_at_low_percent": number(unknown.litres_at_low_percent),
                    "litres_at_high_percent": number(unknown.litres_at_high_percent),
                    "litres_at_low": number(unknown.litres_at_low_l),
                    "litres_likely": number(unknown.litres_likely_l),
                    "litres_at_high": number(unknown.litres_at_high_l),
                }
                for unknown in report.unknowns
            ],
            "assumptions": [say(note) for note in report.assumptions],
        }
        for report in plan.feed.reports
    ]
    processes = [
        {
            "process": process.process,
            "conductivity_us_cm": number(process.conductivity_us_cm),
            "conductivity_standard_methods_us_cm": number(
                process.conductivity_standard_methods_us_cm
            ),
            "conductivity_as_it_is_us_cm": number(process.conductivity_as_it_is_us_cm),
            "temperature_c": number(process.water_out.temperature_c),
            "ph": number(process.water_out.ph),
            "ions_mg_l": {
                ion: number(mg_l) for ion, mg_l in dissolved_mg_l(process.water_out).items()
            },
            "recovery": number(process.recovery),
            **_process_extras(process),
            "notes": [say(note) for note in process.notes],
        }
        for process in plan.processes
    ]
    load = plan.load
    answer = {
        "samples": samples,
        "processes": processes,
        "load": {
            "cation_meq_l": number(load.cation_meq_l),
            "anion_meq_l": number(load.anion_meq_l),
        },
    }
    return answer, reasons_for_null(answer, _WATER_REASONS)


def _saturation(found: Saturation) -> Json:
    """Saturation indices by mineral."""
    return {name: number(getattr(found, name)) for name in ("calcite", "gypsum", "silica")}


def _process_extras(process: ProcessResult) -> Json:
    """What only some processes tell: of a membrane, of a softener, of a carbon filter.

    ``litres`` are those between two regenerations, or until a carbon filter is changed.
    """
    extras: Json = {}
    if process.reject is not None and process.saturation is not None:
        extras |= {
            "output_l_h": number(process.output_l_h),
            "highest_recovery": number(process.highest_recovery),
            "concentrate_saturation": _saturation(process.saturation),
            "concentrate_mg_l": {
                ion: number(mg_l) for ion, mg_l in dissolved_mg_l(process.reject).items()
            },
        }
    if process.process == "softener":
        extras["salt_kg_m3"] = number(process.salt_kg_m3)
    if process.process in ("softener", "carbon"):
        extras["litres"] = number(process.litres_l)
    return extras


_WATER_REASONS = {
    "litres": "the water holds nothing that would use it up",
    "litres_at_low": "there is no vessel, or nothing that loads it",
    "litres_likely": "there is no vessel, or nothing that loads it",
    "litres_at_high": "there is no vessel, or nothing that loads it",
    "calcite": "the water holds nothing of it",
    "gypsum": "the water holds nothing of it",
    "silica": "the water holds nothing of it",
    "conductivity_standard_methods_us_cm": "the Standard Methods formula is not made for water "
    "without salts",
    "conductivity_measured_us_cm": "the sample has no measured conductivity",
    "carbon_dioxide_mg_l": "the sample lacks pH or alkalinity",
}
