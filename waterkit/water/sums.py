"""Sums over an analysis as measured: charges, dissolved solids, hardness. Nothing is completed."""

from collections.abc import Mapping

from waterkit.water.ions import CACO3_EQUIVALENT_G, CACO3_G_MOL, SPECIES, charge_sum_meq_l
from waterkit.water.sample import Sample
from waterkit.working import Source

STANDARD_METHODS_1030 = Source(
    "standard-methods-1030",
    "Standard Methods for the Examination of Water and Wastewater, 1030 E, checking correctness of "
    "analyses",
    "memory",
)

_SIO3_G_MOL = 28.085 + 3 * 15.999
RESIDUE_OF_ALKALINITY = 0.6
_RESIDUE_IONS = ("Na", "K", "Ca", "Mg", "Cl", "SO4", "NO3", "F")
_ALKALINE_IONS = ("HCO3", "CO3", "OH")


def alkalinity_meq_l(sample: Sample) -> float | None:
    """Alkalinity as measured, else from the ions that make it.

    alkalinity = HCO3 + 2 CO3 + OH

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    alkalinity_meq_l : float or None
        Alkalinity; None if the sample tells neither [meq/L].

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 2320, from memory.
    """
    if sample.alkalinity_meq_l is not None:
        return sample.alkalinity_meq_l
    ions = {key: sample.mmol_l[key] for key in _ALKALINE_IONS if key in sample.mmol_l}
    return float(charge_sum_meq_l(ions, -1)) if "HCO3" in ions else None


def cation_sum_meq_l(sample: Sample) -> float | None:
    """Charge of the measured cations.

    sum of z c

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    cation_sum_meq_l : float or None
        Sum; None if no cation was measured [meq/L].

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    cations = {key: amount for key, amount in sample.mmol_l.items() if SPECIES[key].charge > 0}
    return float(charge_sum_meq_l(cations, +1)) if cations else None


def anion_sum_meq_l(sample: Sample) -> float | None:
    """Charge of the measured anions, alkalinity among them; silica is not.

    alkalinity + sum of \\|z\\| c over the other anions

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    anion_sum_meq_l : float or None
        Sum; None if no anion was measured [meq/L].

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    alkalinity = alkalinity_meq_l(sample)
    strong = {
        key: amount
        for key, amount in sample.mmol_l.items()
        if SPECIES[key].charge < 0 and key not in _ALKALINE_IONS
    }
    if alkalinity is None and not strong:
        return None
    return (alkalinity or 0.0) + float(charge_sum_meq_l(strong, -1))


def charge_balance_error_percent(cations_meq_l: float, anions_meq_l: float) -> float | None:
    """How far the sums of cations and anions are apart.

    100 (cations - anions) / (cations + anions)

    Parameters
    ----------
    cations_meq_l, anions_meq_l : float
        Sums of charges [meq/L].

    Returns
    -------
    charge_balance_error_percent : float or None
        Signed difference; None where there are no ions at all [%].

    Examples
    --------
    >>> charge_balance_error_percent(5.031, 4.953)
    0.78

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    total = cations_meq_l + anions_meq_l
    return 100.0 * (cations_meq_l - anions_meq_l) / total if total else None


def tds_calculated_mg_l(sample: Sample) -> float | None:
    """Dissolved solids as the sum of what was measured, as a dried residue would weigh.

    0.6 alkalinity as CaCO3 + Na + K + Ca + Mg + Cl + SO4 + SiO3 + NO3 + F

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    tds_mg_l : float or None
        Dissolved solids; None if none of these was measured [mg/L].

    Notes
    -----
    What was not measured counts nothing. Drying turns half of the hydrogen carbonate into gas: the
    0.6.

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    masses = [
        sample.mmol_l[key] * SPECIES[key].molar_mass_g_mol
        for key in _RESIDUE_IONS
        if key in sample.mmol_l
    ]
    masses += [sample.mmol_l["SiO2"] * _SIO3_G_MOL] if "SiO2" in sample.mmol_l else []
    if (alkalinity := alkalinity_meq_l(sample)) is not None:
        masses.append(RESIDUE_OF_ALKALINITY * alkalinity * CACO3_EQUIVALENT_G)
    return sum(masses) if masses else None


def hardness_mg_l_caco3(sample: Sample) -> float | None:
    """Hardness from calcium and magnesium, else as measured.

    100.086 (Ca + Mg)

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    hardness_mg_l : float or None
        Hardness as CaCO3; None if the sample tells neither [mg/L].

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 2340 B, from memory.
    """
    if "Ca" in sample.mmol_l and "Mg" in sample.mmol_l:
        return CACO3_G_MOL * (sample.mmol_l["Ca"] + sample.mmol_l["Mg"])
    return sample.hardness_mg_l_caco3


def conducting_ions(sample: Sample) -> Mapping[str, float]:
    """The measured ions; alkalinity is HCO3 where no such ion was told [mmol/L]."""
    ions = {key: amount for key, amount in sample.mmol_l.items() if SPECIES[key].charge}
    if "HCO3" not in ions and sample.alkalinity_meq_l is not None:
        ions["HCO3"] = sample.alkalinity_meq_l
    return ions
