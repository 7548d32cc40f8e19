"""Completion of what a sheet lacks: each step an assumption that is told; what was measured stays.

Every amount may be an array, so that thousands of analyses are completed in one call.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.composition import CARBON, Water
from waterkit.water.conductance import conductivity_us_cm
from waterkit.water.ions import CACO3_G_MOL, SPECIES, charge_sum_meq_l
from waterkit.water.sample import Sample
from waterkit.water.speciation import Speciation, speciate
from waterkit.water.sums import alkalinity_meq_l
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

CATIONS = ("Ca", "Mg", "Na", "K", "NH4")
ANIONS = ("Cl", "SO4", "NO3", "F")
IF_MEASURED = ("Fe", "Mn", "Sr", "Ba", "Br", "PO4", "NO2")

# Common practice, no source.
ASSUMED_CA_TO_MG = 3.0
ASSUMED_SILICA_MG_L = 15.0
ASSUMED_PH = 7.5
TYPICAL_SHARES = {"Ca": 0.6, "Mg": 0.2, "Na": 0.2, "Cl": 0.15, "SO4": 0.15}
"""Shares of the charges in a water of which only the conductivity is known; the rest is HCO3."""

_TOLD_IF_MISSING = ("K", "SO4", "NO3")
_RULE_US_CM_MEQ = 100.0
_25_C = 25.0


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured of one water, or of many at once; None where it was not."""

    mmol_l: "Mapping[str, Numeric]"
    alkalinity_meq_l: "Numeric | None" = None
    hardness_mg_l: "Numeric | None" = None
    ph: "Numeric | None" = None
    temperature_c: "Numeric" = 10.0
    conductivity_us_cm: "Numeric | None" = None


@dataclass(frozen=True, slots=True)
class Completed:
    """A water, what had to be assumed to make it complete, and what it consists of."""

    water: Water
    notes: tuple[Note, ...]
    there: Speciation


def measured_of(sample: Sample, temperature_c: float) -> Measured:
    """What completion needs of a sample.

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    temperature_c : float
        Temperature of the supply, if the sample does not tell its own [degC].

    Returns
    -------
    Measured
        Its amounts [mmol/L].

    References
    ----------
    None needed: nothing is worked out.
    """
    return Measured(
        sample.mmol_l,
        alkalinity_meq_l(sample),
        sample.hardness_mg_l_caco3,
        sample.ph,
        temperature_c if sample.temperature_c is None else sample.temperature_c,
        sample.conductivity_us_cm,
    )


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

    References
    ----------
    Common practice, no source.
    """
    return fill(measured_of(sample, temperature_c))


def fill(measured: Measured) -> Completed:
    """Fill in what was not measured of one water or of many.

    Hardness alone is split Ca : Mg = 3 : 1; a conductivity alone is a common water of that
    conductivity; alkalinity, then sodium, then chloride, then sulfate make up the charge where they
    were not measured; what is missing of a measured conductivity is sodium chloride where neither
    was measured; silica 15 mg/L; pH from carbon dioxide, else 7.5.

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
    The assumed ratio, shares, silica and pH are common practice, no source; what they may do to the
    answer is told by :func:`waterkit.water.unknowns.unknowns`.

    References
    ----------
    Common practice, no source.
    """
    keys = (*CATIONS, *ANIONS, *(key for key in IF_MEASURED if key in measured.mmol_l))
    found = {key: measured.mmol_l.get(key, 0.0) for key in keys}
    notes: list[Note] = []
    if _only_conductivity(measured):
        alkalinity = _typical(measured, found, notes)
    else:
        _add_hardness(measured, found, notes)
        alkalinity = _balance(measured, found, notes)
        _add_salt(measured, found, alkalinity, notes)
    missing = tuple(
        k for k in _TOLD_IF_MISSING if not np.any(found[k]) and k not in measured.mmol_l
    )
    if missing:
        notes.append(Note("taken-as-none", {"analytes": missing}))
    found["SiO2"] = _silica(measured, notes)
    there = _with_ph(measured, found, alkalinity, notes)
    ph = there.ph if measured.ph is None else measured.ph
    water = Water(
        {**found, CARBON: there.total_carbon_mmol_l}, alkalinity, ph, measured.temperature_c
    )
    return Completed(water, tuple(notes), there)


def _only_conductivity(measured: Measured) -> bool:
    told = {key for key in measured.mmol_l if SPECIES[key].charge} - {"H", "OH", *IF_MEASURED}
    nothing = not told and measured.alkalinity_meq_l is None and measured.hardness_mg_l is None
    return nothing and measured.conductivity_us_cm is not None


def _typical(measured: Measured, found: "dict[str, Numeric]", notes: list[Note]) -> "Numeric":
    """A common water of the measured conductivity; its alkalinity."""
    target = measured.conductivity_us_cm
    assert target is not None
    charge: Numeric = target / _RULE_US_CM_MEQ
    for _ in range(3):
        alkalinity = _share_out(charge, found)
        reached = _conductivity_25(found, alkalinity, measured)
        charge = charge * target / np.maximum(reached, 1e-9)
    notes.append(
        Note("composition-from-conductivity", {"us_cm": _mean(target), "meq_l": _mean(charge)})
    )
    return _share_out(charge, found)


def _share_out(charge_meq_l: "Numeric", found: "dict[str, Numeric]") -> "Numeric":
    """Fill in a common water of so much charge; its alkalinity."""
    for key, share in TYPICAL_SHARES.items():
        found[key] = charge_meq_l * share / abs(SPECIES[key].charge)
    return charge_meq_l * (1.0 - TYPICAL_SHARES["Cl"] - TYPICAL_SHARES["SO4"])


def _conductivity_25(
    found: "Mapping[str, Numeric]", alkalinity: "Numeric", measured: Measured
) -> "Numeric":
    ph = ASSUMED_PH if measured.ph is None else measured.ph
    return conductivity_us_cm(speciate(found, alkalinity, _25_C, ph=ph))


def _add_hardness(measured: Measured, found: "dict[str, Numeric]", notes: list[Note]) -> None:
    """Calcium and magnesium from hardness, where one or both were not measured."""
    known = [key for key in ("Ca", "Mg") if key in measured.mmol_l]
    hardness = measured.hardness_mg_l
    if len(known) == len(("Ca", "Mg")):
        return
    if hardness is None:
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
    found[other] = np.maximum(total - found[known[0]], 0.0)
    notes.append(Note("rest-of-hardness", {"analyte": other, "mmol_l": _mean(found[other])}))


def _balance(measured: Measured, found: "dict[str, Numeric]", notes: list[Note]) -> "Numeric":
    """Alkalinity; and the missing of alkalinity, sodium, chloride, sulfate made up by charge."""
    alkalinity = measured.alkalinity_meq_l
    if alkalinity is None:
        alkalinity = np.maximum(_excess_meq_l(found, 0.0), 0.0)
        notes.append(
            Note("by-charge-difference", {"analyte": "alkalinity", "meq_l": _mean(alkalinity)})
        )
    for key, side in (("Na", -1.0), ("Cl", 1.0), ("SO4", 1.0)):
        short_meq_l = np.maximum(side * _excess_meq_l(found, alkalinity), 0.0)
        if key not in measured.mmol_l and np.any(short_meq_l > 0):
            found[key] = short_meq_l / abs(SPECIES[key].charge)
            notes.append(
                Note("by-charge-difference", {"analyte": key, "meq_l": _mean(short_meq_l)})
            )
    return alkalinity


def _add_salt(
    measured: Measured, found: "dict[str, Numeric]", alkalinity: "Numeric", notes: list[Note]
) -> None:
    """Sodium chloride for what is missing of the conductivity, where neither was measured."""
    target = measured.conductivity_us_cm
    if target is None or {"Na", "Cl"} & set(measured.mmol_l):
        return
    added: Numeric = 0.0
    plain = {key: found[key] for key in ("Na", "Cl")}
    for _ in range(3):
        missing = target - _conductivity_25(found, alkalinity, measured)
        added = np.maximum(added + missing / _RULE_US_CM_MEQ, 0.0)
        found.update({key: amount + added for key, amount in plain.items()})
    if np.any(added > 0):
        notes.append(
            Note("salt-from-conductivity", {"us_cm": _mean(target), "meq_l": _mean(added)})
        )


def _excess_meq_l(found: "Mapping[str, Numeric]", alkalinity: "Numeric") -> "Numeric":
    """Cations minus anions."""
    return charge_sum_meq_l(found, +1) - charge_sum_meq_l(found, -1) - alkalinity


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
