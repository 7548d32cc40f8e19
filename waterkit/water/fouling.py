"""What clogs or harms membranes and resin: limits of common practice, for a club to set anew."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from waterkit.quantities import MASS_CONCENTRATION, TURBIDITY
from waterkit.water.checks import Check
from waterkit.water.ions import SPECIES
from waterkit.water.sample import Sample
from waterkit.working import Note


@dataclass(frozen=True, slots=True)
class FoulingLimits:
    """The most that water on its way to membrane or resin should hold.

    Every default is common practice, no source: the data sheet of membrane or resin decides.

    Parameters
    ----------
    iron_mg_l, manganese_mg_l, aluminium_mg_l, barium_mg_l, strontium_mg_l : float
        Metals that settle as scale or slime [mg/L].
    ammonium_mg_l, boron_mg_l : float
        What a membrane holds back poorly [mg/L].
    organic_carbon_mg_l : float
        Total organic carbon, which fouls the anion resin [mg/L].
    chlorine_mg_l : float
        Free chlorine, which harms membrane and resin [mg/L].
    turbidity_ntu : float
        Turbidity [NTU].
    """

    iron_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.1
    manganese_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.05
    aluminium_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.05
    barium_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.05
    strontium_mg_l: Annotated[float, MASS_CONCENTRATION] = 5.0
    ammonium_mg_l: Annotated[float, MASS_CONCENTRATION] = 1.0
    boron_mg_l: Annotated[float, MASS_CONCENTRATION] = 1.0
    organic_carbon_mg_l: Annotated[float, MASS_CONCENTRATION] = 3.0
    chlorine_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.1
    turbidity_ntu: Annotated[float, TURBIDITY] = 1.0


COMMON_FOULING = FoulingLimits()
_ANALYTES = {
    "Fe": "iron_mg_l",
    "Mn": "manganese_mg_l",
    "Al": "aluminium_mg_l",
    "Ba": "barium_mg_l",
    "Sr": "strontium_mg_l",
    "NH4": "ammonium_mg_l",
    "B": "boron_mg_l",
    "TOC": "organic_carbon_mg_l",
    "turbidity": "turbidity_ntu",
    "chlorine": "chlorine_mg_l",
}


def fouling_checks(sample: Sample, limits: FoulingLimits = COMMON_FOULING) -> tuple[Check, ...]:
    """What was measured of the things that clog or harm membranes and resin.

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    limits : FoulingLimits
        The most of each.

    Returns
    -------
    tuple of Check
        One for each that was measured.

    Notes
    -----
    What was not measured is not checked. Below detection counts as half the limit of detection.

    References
    ----------
    Common practice, no source.
    """
    found = []
    for key, attribute in _ANALYTES.items():
        value, limit = _measured(sample, key), getattr(limits, attribute)
        if value is not None:
            unit = "NTU" if key == "turbidity" else "mg/L"
            found.append(Check(_name(key), value, unit, 0.0, limit, value <= limit))
    return tuple(found)


def fouling_notes(checks: Iterable[Check]) -> tuple[Note, ...]:
    """A note for each limit that was not kept."""
    return tuple(
        Note(
            "fouling-limit-failed",
            {"analyte": check.name, "value": check.value, "limit": check.high, "unit": check.unit},
        )
        for check in checks
        if not check.passed
    )


def free_chlorine_mg_l(sample: Sample) -> float:
    """Free chlorine that was found in a sample; none where it was not, or was not looked for.

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    chlorine_mg_l : float
        Free chlorine [mg/L].

    Notes
    -----
    Below detection counts as none here: a trace wears out no filter.

    References
    ----------
    None needed: nothing is worked out.
    """
    return 0.0 if "chlorine" in sample.below_detection else sample.others.get("chlorine", 0.0)


def _measured(sample: Sample, key: str) -> float | None:
    if key in SPECIES:
        amount = sample.mmol_l.get(key)
        return None if amount is None else amount * SPECIES[key].molar_mass_g_mol
    return sample.others.get(key)


def _name(key: str) -> str:
    return SPECIES[key].name if key in SPECIES else key
