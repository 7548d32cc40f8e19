"""Is the analysis believable? Sums, dissolved solids and the checks of Standard Methods 1030 E.

Everything here is as measured: nothing is completed first.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from waterkit.water.conductivity import standard_methods_conductivity
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
_RESIDUE_OF_ALKALINITY = 0.6
_RESIDUE_IONS = ("Na", "K", "Ca", "Mg", "Cl", "SO4", "NO3", "F")
_MAJOR_IONS = ("Ca", "Mg", "Na", "Cl", "SO4")
_ALKALINE_IONS = ("HCO3", "CO3", "OH")
_ABSOLUTE_BELOW_MEQ_L, _ABSOLUTE_MEQ_L = 3.0, 0.2
_PERCENT_UP_TO_MEQ_L = ((10.0, 2.0), (800.0, 5.0))


@dataclass(frozen=True, slots=True)
class Check:
    """One check of an analysis: it passed if ``value`` lies between ``low`` and ``high``."""

    name: str
    value: float
    unit: str
    low: float
    high: float
    passed: bool


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
        masses.append(_RESIDUE_OF_ALKALINITY * alkalinity * CACO3_EQUIVALENT_G)
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


def check_sample(sample: Sample) -> tuple[Check, ...]:
    """The checks of Standard Methods 1030 E whose inputs were measured.

    Charge balance by the anion sum: below 3 meq/L within 0.2 meq/L, up to 10 meq/L within 2 %, up
    to 800 meq/L within 5 %; measured / calculated dissolved solids 1.0 to 1.2; calculated /
    measured conductivity 0.9 to 1.1; 100 times each sum / conductivity 0.9 to 1.1; dissolved
    solids, calculated and measured, / conductivity 0.55 to 0.7.

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    tuple of Check
        One for each check that could be made.

    Notes
    -----
    What needs the sums is checked only if calcium, magnesium, sodium, chloride, sulfate and
    alkalinity were measured: a sum that lacks one of them says nothing about the analysis.

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    tds, conductivity = sample.tds_mg_l, sample.conductivity_us_cm
    checks = []
    if _has_majors(sample):
        checks += _checks_of_sums(sample)
    if tds is not None and conductivity:
        checks.append(_ratio("measured TDS / conductivity", tds, conductivity, 0.55, 0.7))
    return tuple(checks)


def _has_majors(sample: Sample) -> bool:
    measured = all(key in sample.mmol_l for key in _MAJOR_IONS)
    return measured and alkalinity_meq_l(sample) is not None


def _checks_of_sums(sample: Sample) -> list[Check]:
    cations, anions = cation_sum_meq_l(sample) or 0.0, anion_sum_meq_l(sample) or 0.0
    calculated = tds_calculated_mg_l(sample) or 0.0
    checks = balance_checks(cations, anions)
    if sample.tds_mg_l is not None and calculated:
        tds = sample.tds_mg_l
        checks.append(_ratio("measured / calculated TDS", tds, calculated, 1.0, 1.2))
    if conductivity := sample.conductivity_us_cm:
        k = float(standard_methods_conductivity(conducting_ions(sample)).conductivity_us_cm)
        checks += [
            _ratio("calculated / measured conductivity", k, conductivity, 0.9, 1.1),
            _ratio("100 x cation sum / conductivity", 100 * cations, conductivity, 0.9, 1.1),
            _ratio("100 x anion sum / conductivity", 100 * anions, conductivity, 0.9, 1.1),
            _ratio("calculated TDS / conductivity", calculated, conductivity, 0.55, 0.7),
        ]
    return checks


def balance_checks(cations_meq_l: float, anions_meq_l: float) -> list[Check]:
    """The charge balance check: in meq/L for a water of few ions, in per cent for others.

    Parameters
    ----------
    cations_meq_l, anions_meq_l : float
        Sums of charges [meq/L].

    Returns
    -------
    list of Check
        One check; none above 800 meq/L, where the rule ends.

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    name, difference = "charge balance", cations_meq_l - anions_meq_l
    if anions_meq_l < _ABSOLUTE_BELOW_MEQ_L:
        return [_check(name, difference, "meq/L", -_ABSOLUTE_MEQ_L, _ABSOLUTE_MEQ_L)]
    percent = charge_balance_error_percent(cations_meq_l, anions_meq_l) or 0.0
    for up_to, allowed in _PERCENT_UP_TO_MEQ_L:
        if anions_meq_l <= up_to:
            return [_check(name, percent, "%", -allowed, allowed)]
    return []


def _ratio(name: str, value: float, by: float, low: float, high: float) -> Check:
    return _check(name, value / by, "1", low, high)


def _check(name: str, value: float, unit: str, low: float, high: float) -> Check:
    return Check(name, value, unit, low, high, low <= value <= high)
