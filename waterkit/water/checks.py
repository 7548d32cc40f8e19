"""Is the analysis believable? The checks of Standard Methods 1030 E.

Everything here is as measured: nothing is completed first.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import log10
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.completion import fill, measured_of
from waterkit.water.composition import conductivity_25
from waterkit.water.conductivity import standard_methods_conductivity
from waterkit.water.ions import CACO3_EQUIVALENT_G, SPECIES, mg_per_mmol
from waterkit.water.sample import Sample
from waterkit.water.sums import (
    STANDARD_METHODS_1030,
    alkalinity_meq_l,
    anion_sum_meq_l,
    cation_sum_meq_l,
    charge_balance_error_percent,
    conducting_ions,
    hardness_mg_l_caco3,
    tds_calculated_mg_l,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

__all__ = [
    "STANDARD_METHODS_1030",
    "Check",
    "Suspicion",
    "alkalinity_meq_l",
    "anion_sum_meq_l",
    "balance_checks",
    "cation_sum_meq_l",
    "charge_balance_error_percent",
    "check_sample",
    "hardness_mg_l_caco3",
    "suspicions",
    "tds_calculated_mg_l",
]

_MAJOR_IONS = ("Ca", "Mg", "Na", "Cl", "SO4")
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


def balance_passed(cations_meq_l: "Numeric", anions_meq_l: "Numeric") -> "NDArray[np.bool_]":
    """Whether sums balance, for many analyses at once; the rule of :func:`balance_checks`.

    Parameters
    ----------
    cations_meq_l, anions_meq_l : float or array
        Sums of charges [meq/L].

    Returns
    -------
    passed : array of bool
        Whether each passes; beyond 800 meq/L none does [1].

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 1030 E, from memory.
    """
    off = np.abs(np.subtract(cations_meq_l, anions_meq_l))
    total = np.add(cations_meq_l, anions_meq_l)
    allowed = np.full(np.shape(off), -1.0)
    for up_to, percent in reversed(_PERCENT_UP_TO_MEQ_L):
        allowed = np.where(np.less_equal(anions_meq_l, up_to), percent / 100.0 * total, allowed)
    allowed = np.where(np.less(anions_meq_l, _ABSOLUTE_BELOW_MEQ_L), _ABSOLUTE_MEQ_L, allowed)
    return np.asarray(off <= allowed)


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


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Something in a sample that is hard to believe, with its likely cause; it is reckoned with."""

    analyte: str
    message: str
    hint: str


# How a conductivity is off that was copied in another unit: measured over calculated, as log10.
_OTHER_UNITS = (
    (
        -3.0,
        0.4,
        "it looks like mS/cm: write mS/cm in the column unit, or a figure 1000 times larger",
    ),
    (-1.0, 0.25, "it looks like mS/m: write mS/m in the column unit, or a figure 10 times larger"),
    (1.0, 0.25, "it looks 10 times too large: is it uS/cm that was taken for mS/m?"),
    (3.0, 0.4, "it looks 1000 times too large: is it uS/cm that was taken for mS/cm?"),
)
_FAR_OFF = 0.15
"""A conductivity further off than by this factor (as log10) is told, whatever the cause."""
_OFF_PERCENT, _MENDED_PERCENT, _VERY_OFF_PERCENT = 5.0, 2.5, 20.0


def suspicions(sample: Sample) -> tuple[Suspicion, ...]:
    """What in a sample is hard to believe, each with its likely cause.

    A calculated and a measured conductivity that differ by the factor of a mistaken unit; a balance
    that is off and comes right if one analyte was counted on another basis.

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    tuple of Suspicion
        Warnings for whoever reads the sheet; none for a sound sample.

    Notes
    -----
    The balance is looked at only where all major ions were measured. Several bases may mend it; the
    one that mends it best is named.

    References
    ----------
    Common practice, no source.
    """
    return (*_of_conductivity(sample), *_of_balance(sample))


def _of_conductivity(sample: Sample) -> Iterator[Suspicion]:
    told = sample.conductivity_us_cm
    without = replace(measured_of(sample, 10.0), conductivity_us_cm=None)
    told_enough = "Ca" in sample.mmol_l or sample.hardness_mg_l_caco3 is not None
    if not told or not (told_enough or alkalinity_meq_l(sample)):
        return
    calculated = float(conductivity_25(fill(without).water))
    if calculated <= 0:
        return
    ratio = log10(told / calculated)
    message = f"a conductivity of {told:g} uS/cm does not go with what is dissolved"
    for center, width, cause in _OTHER_UNITS:
        if abs(ratio - center) < width:
            yield Suspicion("conductivity", message, cause)
            return
    if abs(ratio) > _FAR_OFF and _has_majors(sample):
        cause = f"{calculated:.0f} uS/cm would: an analyte may be missing or in another unit"
        yield Suspicion("conductivity", message, cause)


def _of_balance(sample: Sample) -> Iterator[Suspicion]:
    if not _has_majors(sample):
        return
    error = _balance_of(sample)
    cations, anions = cation_sum_meq_l(sample) or 0.0, anion_sum_meq_l(sample) or 0.0
    if abs(error) <= _OFF_PERCENT or abs(cations - anions) <= 2.0 * _ABSOLUTE_MEQ_L:
        return
    message = f"the charges are {abs(error):.0f} % off: too {_side(error)}"
    causes = [
        (abs(_balance_of(other)), analyte, cause) for analyte, cause, other in _counted_anew(sample)
    ]
    best = min(causes, default=(100.0, "", ""))
    if best[0] <= _MENDED_PERCENT:
        yield Suspicion(best[1], message, best[2])
    elif abs(error) > _VERY_OFF_PERCENT:
        cause = "no other basis mends it: a decimal point, a unit, or an analyte that is missing"
        yield Suspicion("", message, cause)


def _side(error: float) -> str:
    return "many cations or too few anions" if error > 0 else "few cations or too many anions"


def _balance_of(sample: Sample) -> float:
    cations, anions = cation_sum_meq_l(sample) or 0.0, anion_sum_meq_l(sample) or 0.0
    return charge_balance_error_percent(cations, anions) or 0.0


def _counted_anew(sample: Sample) -> Iterator[tuple[str, str, Sample]]:
    """The sample with one analyte counted on another basis: its key, the cause, the sample."""
    alkalinity = alkalinity_meq_l(sample) or 0.0
    hydrogen_carbonate = SPECIES["HCO3"].molar_mass_g_mol / CACO3_EQUIVALENT_G  # 1.22
    key = "alkalinity" if sample.alkalinity_meq_l is not None else "HCO3"
    for factor, cause in (
        (hydrogen_carbonate, "it may be counted as CaCO3, not as HCO3 (x 0.82)"),
        (1.0 / hydrogen_carbonate, "it may be counted as HCO3, not as CaCO3 (x 1.22)"),
    ):
        yield key, cause, replace(sample, alkalinity_meq_l=alkalinity * factor)
    for key, basis in (("Ca", "CaCO3"), ("Mg", "CaCO3"), ("NO3", "N"), ("SO4", "S"), ("NH4", "N")):
        if sample.mmol_l.get(key):
            factor = SPECIES[key].molar_mass_g_mol / mg_per_mmol(key, basis)
            mmol_l = {**sample.mmol_l, key: sample.mmol_l[key] * factor}
            yield key, f"it may be counted as {basis}", replace(sample, mmol_l=mmol_l)
