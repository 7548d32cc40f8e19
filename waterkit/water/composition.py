"""The composition of a water as processes transform it: completed, in charge and carbon."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from waterkit.water.carbonate import carbonate_species, ph_from_carbon_dioxide, total_carbon_mmol_l
from waterkit.water.checks import alkalinity_meq_l
from waterkit.water.conductivity import ionic_strength_mol_l
from waterkit.water.ions import CACO3_G_MOL, SPECIES, charge_sum_meq_l
from waterkit.water.sample import Sample
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

CATIONS = ("Ca", "Mg", "Na", "K", "NH4")
ANIONS = ("Cl", "SO4", "NO3", "F")
IF_MEASURED = ("Fe", "Mn", "Sr", "Ba", "Br", "PO4", "NO2")
CARBON = "C"
"""Key of the total inorganic carbon of a :class:`Water`."""

ASSUMED_CA_TO_MG = 3.0
ASSUMED_SILICA_MG_L = 15.0
ASSUMED_PH = 7.5
_TOLD_IF_MISSING = ("K", "SO4", "NO3")


@dataclass(frozen=True, slots=True)
class Water:
    """A completed composition.

    Parameters
    ----------
    mmol_l : mapping of str to float or array
        Ions, total inorganic carbon as ``C`` and silica as ``SiO2`` [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].
    ph : float or array
        pH at the temperature of the water [1].
    temperature_c : float or array
        Temperature of the water [degC].
    """

    mmol_l: "Mapping[str, Numeric]"
    alkalinity_meq_l: "Numeric"
    ph: "Numeric"
    temperature_c: "Numeric"


@dataclass(frozen=True, slots=True)
class Completed:
    """A water, and what had to be assumed to make it complete."""

    water: Water
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class Load:
    """What a resin has to take from one litre of water [meq/L]."""

    cation_meq_l: "Numeric"
    anion_meq_l: "Numeric"


def salts(water: Water) -> "dict[str, Numeric]":
    """The ions of a water without its carbonate [mmol/L]."""
    charged = {key for key in water.mmol_l if key in SPECIES and SPECIES[key].charge}
    return {key: amount for key, amount in water.mmol_l.items() if key in charged}


def ions(water: Water) -> "dict[str, Numeric]":
    """Every ion of a water, carbonate, hydrogen and hydroxide ion among them [mmol/L]."""
    found = salts(water)
    rough = ionic_strength_mol_l({**found, "HCO3": water.alkalinity_meq_l})
    carbonate = carbonate_species(water.alkalinity_meq_l, water.ph, water.temperature_c, rough)
    parts = {"HCO3": carbonate.hco3, "CO3": carbonate.co3, "H": carbonate.h, "OH": carbonate.oh}
    return {**found, **parts}


def dissolved_mg_l(water: Water) -> "dict[str, Numeric]":
    """What is dissolved in a water by formula, all but hydrogen and hydroxide ion [mg/L]."""
    dissolved = {
        **ions(water),
        "SiO2": water.mmol_l.get("SiO2", 0.0),
        "CO2": carbon_dioxide(water),
    }
    return {
        key: amount * SPECIES[key].molar_mass_g_mol
        for key, amount in dissolved.items()
        if key not in ("H", "OH")
    }


def carbon_dioxide(water: Water) -> "Numeric":
    """Dissolved carbon dioxide of a water at its own temperature [mmol/L]."""
    strength = ionic_strength_mol_l(ions(water))
    return carbonate_species(water.alkalinity_meq_l, water.ph, water.temperature_c, strength).co2


def load(water: Water) -> Load:
    """What a fresh mixed bed has to take from one litre of water.

    cations: sum of z c; anions: strong anions + total inorganic carbon + silica, one equivalent for
    each mole of the last two

    Parameters
    ----------
    water : Water
        A completed water.

    Returns
    -------
    Load
        Load of the cation and of the anion resin [meq/L].

    Examples
    --------
    >>> water = Water({"Ca": 2.0, "Cl": 1.0, "C": 3.5, "SiO2": 0.25}, 3.0, 7.0, 10.0)
    >>> load(water)
    Load(cation_meq_l=4.0, anion_meq_l=4.75)

    References
    ----------
    Carbon dioxide and silica as load of the anion resin, one equivalent for each mole: common
    practice, no source.
    """
    strong = salts(water)
    weak = water.mmol_l.get(CARBON, 0.0) + water.mmol_l.get("SiO2", 0.0)
    return Load(charge_sum_meq_l(strong, +1), charge_sum_meq_l(strong, -1) + weak)


def complete(sample: Sample, temperature_c: float) -> Completed:
    """Fill in what a sheet lacks, each a note; what was measured is never shifted.

    Hardness alone is split Ca : Mg = 3 : 1; alkalinity, then sodium, then chloride, then sulfate
    make up the charge where they were not measured; silica 15 mg/L; pH from carbon dioxide, else
    7.5.

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
    The assumed ratio, silica and pH are common practice, no source; what they do to the answer is
    told by measuring them.

    References
    ----------
    Common practice, no source.
    """
    keys = (*CATIONS, *ANIONS, *(key for key in IF_MEASURED if key in sample.mmol_l))
    found = {key: sample.mmol_l.get(key, 0.0) for key in keys}
    notes: list[Note] = []
    _add_hardness(sample, found, notes)
    alkalinity = _balance(sample, found, notes)
    missing = tuple(key for key in _TOLD_IF_MISSING if found[key] == 0 and key not in sample.mmol_l)
    if missing:
        notes.append(Note("taken-as-none", {"analytes": missing}))
    silica = sample.mmol_l.get("SiO2")
    if silica is None:
        silica = ASSUMED_SILICA_MG_L / SPECIES["SiO2"].molar_mass_g_mol
        notes.append(Note("silica-assumed", {"mg_l": ASSUMED_SILICA_MG_L}))
    celsius = temperature_c if sample.temperature_c is None else sample.temperature_c
    strength = float(ionic_strength_mol_l({**found, "HCO3": alkalinity}))
    ph = _ph(sample, alkalinity, celsius, strength, notes)
    carbon = float(total_carbon_mmol_l(alkalinity, ph, celsius, strength))
    water = Water({**found, CARBON: carbon, "SiO2": silica}, alkalinity, ph, celsius)
    return Completed(water, tuple(notes))


def _add_hardness(sample: Sample, found: dict[str, float], notes: list[Note]) -> None:
    """Calcium and magnesium from hardness, where one or both were not measured."""
    known = [key for key in ("Ca", "Mg") if key in sample.mmol_l]
    both = len(known) == len(("Ca", "Mg"))
    hardness = sample.hardness_mg_l_caco3
    if both:
        return
    if hardness is None:
        notes.append(Note("hardness-not-measured", {"known": tuple(known)}))
        return
    total = hardness / CACO3_G_MOL
    if not known:
        found["Ca"] = total * ASSUMED_CA_TO_MG / (ASSUMED_CA_TO_MG + 1.0)
        found["Mg"] = total / (ASSUMED_CA_TO_MG + 1.0)
        notes.append(Note("hardness-split", {"hardness_mg_l": hardness, "ratio": ASSUMED_CA_TO_MG}))
        return
    other = "Mg" if known == ["Ca"] else "Ca"
    found[other] = max(total - found[known[0]], 0.0)
    notes.append(Note("rest-of-hardness", {"analyte": other, "mmol_l": found[other]}))


def _balance(sample: Sample, found: dict[str, float], notes: list[Note]) -> float:
    """Alkalinity; and the missing of alkalinity, sodium, chloride, sulfate made up by charge."""
    alkalinity = alkalinity_meq_l(sample)
    if alkalinity is None:
        alkalinity = max(_excess_meq_l(found, 0.0), 0.0)
        notes.append(_by_difference("alkalinity", alkalinity))
    for key, side in (("Na", -1.0), ("Cl", 1.0), ("SO4", 1.0)):
        short_meq_l = side * _excess_meq_l(found, alkalinity)
        if key not in sample.mmol_l and short_meq_l > 0:
            found[key] = short_meq_l / abs(SPECIES[key].charge)
            notes.append(_by_difference(key, short_meq_l))
    return alkalinity


def _excess_meq_l(found: Mapping[str, float], alkalinity: float) -> float:
    """Cations minus anions."""
    return float(charge_sum_meq_l(found, +1) - charge_sum_meq_l(found, -1)) - alkalinity


def _by_difference(analyte: str, meq_l: float) -> Note:
    return Note("by-charge-difference", {"analyte": analyte, "meq_l": meq_l})


def _ph(
    sample: Sample, alkalinity: float, celsius: float, strength: float, notes: list[Note]
) -> float:
    if sample.ph is not None:
        return sample.ph
    if sample.mmol_l.get("CO2"):
        ph = float(ph_from_carbon_dioxide(alkalinity, sample.mmol_l["CO2"], celsius, strength))
        notes.append(Note("pH-from-carbon-dioxide", {"ph": ph}))
        return ph
    notes.append(Note("pH-assumed", {"ph": ASSUMED_PH}))
    return ASSUMED_PH
