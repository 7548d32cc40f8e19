"""Is the analysis believable? The checks of Standard Methods 1030 E.

Everything here is as measured: nothing is completed first.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.conductivity import standard_methods_conductivity
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
    "alkalinity_meq_l",
    "anion_sum_meq_l",
    "balance_checks",
    "cation_sum_meq_l",
    "charge_balance_error_percent",
    "check_sample",
    "hardness_mg_l_caco3",
    "has_majors",
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
    if has_majors(sample):
        checks += _checks_of_sums(sample)
    if tds is not None and conductivity:
        checks.append(_ratio("measured TDS / conductivity", tds, conductivity, 0.55, 0.7))
    return tuple(checks)


def has_majors(sample: Sample) -> bool:
    """Whether all major ions were measured, so that sums of charges mean something."""
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
