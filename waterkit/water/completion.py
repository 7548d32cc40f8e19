"""Completion of what a sheet lacks: each step an assumption that is told; what was measured stays.

Every amount may be an array, so that thousands of analyses are completed in one call.
"""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.acid import acid_alkalinity, is_acid, speciate_acid
from waterkit.water.composition import CARBON, Water
from waterkit.water.ions import CACO3_G_MOL, SPECIES
from waterkit.water.made_up import (
    ASSUMED_PH,
    add_charges,
    add_conductivity,
    excess_meq_l,
    told_conductivity,
)
from waterkit.water.measured import Measured, measured_of
from waterkit.water.sample import Sample
from waterkit.water.speciation import Speciation, speciate
from waterkit.working import Note

if TYPE_CHECKING:
    from collections.abc import Mapping

    from waterkit.quantities import Numeric

__all__ = ["ASSUMED_PH", "Completed", "Measured", "complete", "fill", "measured_of"]

CATIONS = ("Ca", "Mg", "Na", "K", "NH4")
ANIONS = ("Cl", "SO4", "NO3", "F")
IF_MEASURED = ("Fe", "Mn", "Sr", "Ba", "Br", "PO4", "NO2")

# Common practice, no source.
ASSUMED_CA_TO_MG = 3.0
ASSUMED_SILICA_MG_L = 15.0

_TOLD_IF_MISSING = ("Mg", "Na", "K", "Cl", "SO4", "NO3")


@dataclass(frozen=True, slots=True)
class Completed:
    """A water, what had to be assumed to make it complete, and what it consists of."""

    water: Water
    notes: tuple[Note, ...]
    there: Speciation


def complete(sample: Sample, temperature_c: float) -> Completed:
    """Fill in what a sheet lacks, each a note; what was measured is never shifted.

    See :func:`fill`.

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    temperature_c : float
        Temperature of the supply, if the sample does not tell its own [degC].

    Returns
    -------
    Completed
        The water [mmol/L] and what was assumed.

    Notes
    -----
    A pH without a temperature is taken as read at the temperature of the supply, with a note: a
    laboratory reads it at 20 to 25 degC.

    References
    ----------
    Common practice, no source.
    """
    completed = fill(measured_of(sample, temperature_c))
    if sample.ph is None or sample.temperature_c is not None:
        return completed
    note = Note("pH-temperature-assumed", {"temperature_c": temperature_c})
    return replace(completed, notes=(*completed.notes, note))


def fill(measured: Measured) -> Completed:
    """Fill in what was not measured of one water or of many.

    Hardness alone is split Ca : Mg = 3 : 1; alkalinity, then sodium, then chloride, then sulfate
    make up the charge where they were not measured; what is missing of a measured conductivity (or
    of measured dissolved solids / 0.65) is made up by what was not measured, and a conductivity
    alone is a common hard water; silica 15 mg/L; pH from carbon dioxide, else 7.5. A water of pH
    below 5 without alkalinity holds mineral acid, and 10 mg/L of carbon dioxide if nobody measured
    it.

    Parameters
    ----------
    measured : Measured
        What was measured; each amount may be an array.

    Returns
    -------
    Completed
        The water [mmol/L] and what was assumed.

    Notes
    -----
    The assumed ratio, shares, silica, pH and carbon dioxide are common practice, no source; what
    they may do to the answer is told by :func:`waterkit.water.unknowns.unknowns`.

    References
    ----------
    Common practice, no source.
    """
    keys = (*CATIONS, *ANIONS, *(key for key in IF_MEASURED if key in measured.mmol_l))
    found = {key: measured.mmol_l.get(key, 0.0) for key in keys}
    notes: list[Note] = []
    _add_hardness(measured, found, notes)
    alkalinity, carbon, acid = measured.alkalinity_meq_l, None, is_acid(measured)
    if np.any(acid):
        instead, carbon = acid_alkalinity(measured, found, notes)
        rest = np.maximum(excess_meq_l(found, 0.0), 0.0) if alkalinity is None else alkalinity
        alkalinity = np.where(acid, instead, rest)[()]
    alkalinity = add_charges(measured, found, alkalinity, notes)
    alkalinity = add_conductivity(measured, found, alkalinity, notes)
    missing = tuple(
        k for k in _TOLD_IF_MISSING if not np.any(found[k]) and k not in measured.mmol_l
    )
    if missing:
        notes.append(Note("taken-as-none", {"analytes": missing}))
    found["SiO2"] = _silica(measured, notes)
    if carbon is None:
        there = _with_ph(measured, found, alkalinity, notes)
    else:
        there = speciate_acid(measured, found, alkalinity, carbon)
    # the carbon of an acid water hangs on the last digit of its pH
    ph = there.ph if measured.ph is None else np.where(acid, there.ph, measured.ph)[()]
    water = Water(
        {**found, CARBON: there.total_carbon_mmol_l}, alkalinity, ph, measured.temperature_c
    )
    return Completed(water, tuple(notes), there)


def _add_hardness(measured: Measured, found: "dict[str, Numeric]", notes: list[Note]) -> None:
    """Calcium and magnesium from hardness, where one or both were not measured."""
    known = [key for key in ("Ca", "Mg") if key in measured.mmol_l]
    hardness = measured.hardness_mg_l
    if len(known) == len(("Ca", "Mg")):
        return
    if hardness is None:
        if not known and told_conductivity(measured) is not None:
            return
        notes.append(Note("hardness-not-measured", {"known": tuple(known)}))
        return
    total = hardness / CACO3_G_MOL
    if not known:
        found["Ca"] = total * ASSUMED_CA_TO_MG / (ASSUMED_CA_TO_MG + 1.0)
        found["Mg"] = total / (ASSUMED_CA_TO_MG + 1.0)
        notes.append(
            Note("hardness-split", {"hardness_mg_l": _mean(hardness), "ratio": ASSUMED_CA_TO_MG})
        )
        return
    other = "Mg" if known == ["Ca"] else "Ca"
    rest = total - found[known[0]]
    found[other] = np.maximum(rest, 0.0)
    if np.any(rest < 0):
        values = {"analyte": known[0], "hardness_mg_l": _mean(hardness), "others": (other,)}
        notes.append(Note("more-than-hardness", values))
    else:
        notes.append(Note("rest-of-hardness", {"analyte": other, "mmol_l": _mean(found[other])}))


def _silica(measured: Measured, notes: list[Note]) -> "Numeric":
    if "SiO2" in measured.mmol_l:
        return measured.mmol_l["SiO2"]
    notes.append(Note("silica-assumed", {"mg_l": ASSUMED_SILICA_MG_L}))
    return ASSUMED_SILICA_MG_L / SPECIES["SiO2"].molar_mass_g_mol


def _with_ph(
    measured: Measured, found: "Mapping[str, Numeric]", alkalinity: "Numeric", notes: list[Note]
) -> Speciation:
    celsius = measured.temperature_c
    if measured.ph is not None:
        return speciate(found, alkalinity, celsius, ph=measured.ph)
    co2 = measured.mmol_l.get("CO2")
    if co2 is not None and np.all(co2):
        there = speciate(found, alkalinity, celsius, carbon_dioxide_mmol_l=co2)
        notes.append(Note("pH-from-carbon-dioxide", {"ph": _mean(there.ph)}))
        return there
    notes.append(Note("pH-assumed", {"ph": ASSUMED_PH}))
    return speciate(found, alkalinity, celsius, ph=ASSUMED_PH)


def _mean(value: "Numeric") -> float:
    """What a note tells; of many waters their mean."""
    return float(np.mean(value))
