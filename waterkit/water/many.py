"""Thousands of analyses completed and checked in one call: a plant's history, a region's wells."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.checks import balance_passed
from waterkit.water.completion import Completed, Measured, fill
from waterkit.water.composition import Load, conductivity_25, load
from waterkit.water.ions import charge_sum_meq_l
from waterkit.water.saturation import Saturation, saturation

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

_RATIO = (0.9, 1.1)


@dataclass(frozen=True, slots=True)
class Analyses:
    """Many analyses, each figure an array; sums as measured, all else of the completed water."""

    completed: Completed
    cation_sum_meq_l: "Numeric"
    anion_sum_meq_l: "Numeric"
    balance_passed: "NDArray[np.bool_]"
    ionic_strength_mol_l: "Numeric"
    carbon_dioxide_mmol_l: "Numeric"
    conductivity_25c_us_cm: "Numeric"
    conductivity_passed: "NDArray[np.bool_] | None"
    saturation: Saturation
    load: Load


def analyse(measured: Measured) -> Analyses:
    """Complete and check many analyses at once.

    Charge balance and conductivity after Standard Methods 1030 E, the conductivity by the house
    model; carbon dioxide, saturation, load on a resin.

    Parameters
    ----------
    measured : Measured
        What was measured, an array each; all lack the same analytes.

    Returns
    -------
    Analyses
        An array each [mmol/L].

    References
    ----------
    See :func:`waterkit.water.completion.fill` and :func:`waterkit.water.checks.check_sample`.
    """
    completed = fill(measured)
    water = completed.water
    there = completed.there
    strong = {key: amount for key, amount in measured.mmol_l.items() if key not in ("HCO3", "CO3")}
    cations = charge_sum_meq_l(strong, +1)
    anions = charge_sum_meq_l(strong, -1) + water.alkalinity_meq_l
    at_25 = conductivity_25(water)
    passed = None
    if measured.conductivity_us_cm is not None:
        ratio = at_25 / np.maximum(measured.conductivity_us_cm, 1e-9)
        passed = np.asarray((ratio >= _RATIO[0]) & (ratio <= _RATIO[1]))
    return Analyses(
        completed,
        cations,
        anions,
        balance_passed(cations, anions),
        there.ionic_strength_mol_l,
        there.co2_mmol_l,
        at_25,
        passed,
        saturation(there),
        load(water),
    )
