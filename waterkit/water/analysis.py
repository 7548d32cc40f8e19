"""From a laboratory's sheet to a water to plan with: read, checked, completed, reported."""

import datetime as dt
from dataclasses import dataclass

from waterkit.water.checks import (
    Check,
    alkalinity_meq_l,
    anion_sum_meq_l,
    cation_sum_meq_l,
    charge_balance_error_percent,
    check_sample,
    hardness_mg_l_caco3,
    tds_calculated_mg_l,
)
from waterkit.water.completion import Completed, complete
from waterkit.water.composition import Load, Water, conductivity_25, ions, load
from waterkit.water.conductance import conductivity_notes
from waterkit.water.conductivity import standard_methods_conductivity
from waterkit.water.doubts import doubt_notes
from waterkit.water.fouling import COMMON_FOULING, FoulingLimits, fouling_checks, fouling_notes
from waterkit.water.ions import CACO3_EQUIVALENT_G, SPECIES
from waterkit.water.sample import Point, Result, Sample, WaterTest, gather, measure
from waterkit.water.saturation import Saturation, saturation
from waterkit.water.unknowns import LitresOf, Unknown, unknowns, worth_testing
from waterkit.working import Note

__all__ = [
    "Check",
    "Completed",
    "Load",
    "Point",
    "Result",
    "Sample",
    "SampleReport",
    "Water",
    "WaterTest",
    "alkalinity_meq_l",
    "anion_sum_meq_l",
    "cation_sum_meq_l",
    "charge_balance_error_percent",
    "check_sample",
    "complete",
    "gather",
    "hardness_mg_l_caco3",
    "load",
    "measure",
    "report_sample",
    "tds_calculated_mg_l",
]


@dataclass(frozen=True, slots=True)
class SampleReport:
    """One feed sample, ready to be shown.

    Sums, balance, dissolved solids, hardness, alkalinity and checks are as measured; calculated
    conductivity (at 25 degC, kept closed), ionic strength, carbon dioxide, saturation and load are
    of the completed water. What a sheet does not tell is None. ``unknowns`` are what it leaves
    open, the one that may move the litres most first.
    """

    sample: str
    source: str
    date: dt.date
    cation_sum_meq_l: float | None
    anion_sum_meq_l: float | None
    charge_balance_error_percent: float | None
    conductivity_calculated_us_cm: float
    conductivity_standard_methods_us_cm: float
    conductivity_measured_us_cm: float | None
    ionic_strength_mol_l: float
    ionic_strength_standard_methods_mol_l: float
    tds_calculated_mg_l: float | None
    tds_measured_mg_l: float | None
    hardness_mg_l_caco3: float | None
    alkalinity_mg_l_caco3: float | None
    carbon_dioxide_mg_l: float
    checks: tuple[Check, ...]
    fouling: tuple[Check, ...]
    saturation: Saturation
    assumptions: tuple[Note, ...]
    unknowns: tuple[Unknown, ...]
    measured: Sample
    completed: Completed
    load: Load


def report_sample(
    sample: Sample,
    temperature_c: float,
    fouling: FoulingLimits = COMMON_FOULING,
    litres_of: LitresOf | None = None,
) -> SampleReport:
    """Everything that is told about one feed sample.

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    temperature_c : float
        Temperature of the supply, if the sample does not tell its own [degC].
    fouling : FoulingLimits
        Limits of what clogs and harms.
    litres_of : callable or None
        Litres of a fresh vessel on a water of the supply, for what its unknowns may do to them.

    Returns
    -------
    SampleReport
        Sums, checks, conductivity [uS/cm], dissolved solids [mg/L], load [meq/L].

    References
    ----------
    See the functions used.
    """
    completed = complete(sample, temperature_c)
    there, calculated = completed.there, conductivity_25(completed.water)
    methods = standard_methods_conductivity(_conducting(sample, completed.water))
    cations, anions = cation_sum_meq_l(sample), anion_sum_meq_l(sample)
    both = cations is not None and anions is not None
    alkalinity = alkalinity_meq_l(sample)
    left_open = unknowns(sample, temperature_c, litres_of)
    harm = fouling_checks(sample, fouling)
    notes = (
        *sample.notes, *doubt_notes(sample), *completed.notes, *fouling_notes(harm),
        *worth_testing(left_open), *methods.notes,
        *conductivity_notes(calculated, there.temperature_c),
    )  # fmt: skip
    return SampleReport(
        sample=sample.sample,
        source=sample.source,
        date=sample.date,
        cation_sum_meq_l=cations,
        anion_sum_meq_l=anions,
        charge_balance_error_percent=(
            charge_balance_error_percent(cations or 0.0, anions or 0.0) if both else None
        ),
        conductivity_calculated_us_cm=float(calculated),
        conductivity_standard_methods_us_cm=float(methods.conductivity_us_cm),
        conductivity_measured_us_cm=sample.conductivity_us_cm,
        ionic_strength_mol_l=float(there.ionic_strength_mol_l),
        ionic_strength_standard_methods_mol_l=float(methods.ionic_strength_mol_l),
        tds_calculated_mg_l=tds_calculated_mg_l(sample),
        tds_measured_mg_l=sample.tds_mg_l,
        hardness_mg_l_caco3=hardness_mg_l_caco3(sample),
        alkalinity_mg_l_caco3=None if alkalinity is None else alkalinity * CACO3_EQUIVALENT_G,
        carbon_dioxide_mg_l=float(there.co2_mmol_l * SPECIES["CO2"].molar_mass_g_mol),
        checks=check_sample(sample),
        fouling=harm,
        saturation=saturation(there),
        assumptions=notes,
        unknowns=left_open,
        measured=sample,
        completed=completed,
        load=load(completed.water),
    )


def _conducting(sample: Sample, water: Water) -> dict[str, float]:
    """The ions of the completed water; hydrogen carbonate as told, where the sheet told the ion."""
    told = {key: sample.mmol_l[key] for key in ("HCO3", "CO3") if key in sample.mmol_l}
    apart = {"CO3": 0.0, **told} if "HCO3" in told else {}
    return {**{key: float(amount) for key, amount in ions(water).items()}, **apart}
