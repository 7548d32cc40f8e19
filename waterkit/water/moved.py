"""A completed water with some amounts at other values, as if all of it had been measured."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from waterkit.water.acid import is_acid
from waterkit.water.composition import CARBON, Water
from waterkit.water.ions import SPECIES
from waterkit.water.made_up import ALKALINITY, excess_meq_l
from waterkit.water.measured import Measured

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

_FOLLOW = (ALKALINITY, "Na", "Cl", "SO4")
"""What keeps the charges where it was not measured, in this order; what there is of it first."""
_OF_ALKALINITY = {"HCO3": 1.0, "CO3": 2.0}


def moved(measured: Measured, water: Water, to: Mapping[str, float]) -> Measured:
    """A completed water as if all of it had been measured, some of it at other values.

    What was not measured of alkalinity, sodium, chloride and sulfate follows, so that the charges
    are as far apart as before; what cannot follow below none is left to the next.

    Parameters
    ----------
    measured : Measured
        What was measured.
    water : Water
        The same water, completed.
    to : mapping of str to float
        The values to move to, alkalinity [meq/L] and ions [mmol/L].

    Returns
    -------
    Measured
        All of the water; pH as it was measured, or not.

    References
    ----------
    Balance of charge.
    """
    amounts: dict[str, Numeric] = {k: v for k, v in water.mmol_l.items() if k != CARBON}
    amounts |= {key: measured.mmol_l[key] for key in ("CO2",) if key in measured.mmol_l}
    alkalinity = water.alkalinity_meq_l
    before = excess_meq_l(amounts, alkalinity)
    amounts |= {key: value for key, value in to.items() if key in amounts or key == "CO2"}
    for key, count in _OF_ALKALINITY.items():
        if key in to:
            alkalinity = alkalinity + count * (to[key] - measured.mmol_l.get(key, 0.0))
    alkalinity = to.get(ALKALINITY, alkalinity)
    left = float(excess_meq_l(amounts, alkalinity) - before)
    for key in _followers(measured, water):
        if key in to or not left:
            continue
        charge = -1 if key == ALKALINITY else SPECIES[key].charge
        there = float(alkalinity if key == ALKALINITY else amounts[key])
        then = max(there - left / charge, min(there, 0.0))
        left += charge * (then - there)
        if key == ALKALINITY:
            alkalinity = then
        else:
            amounts[key] = then
    return Measured(amounts, alkalinity, None, measured.ph, measured.temperature_c)


def _followers(measured: Measured, water: Water) -> list[str]:
    there = {ALKALINITY: water.alkalinity_meq_l, **water.mmol_l}
    free = [key for key in _FOLLOW if not measured.has(key)]
    if is_acid(measured):  # its alkalinity follows from pH
        free = [key for key in free if key != ALKALINITY]
    return sorted(free, key=lambda key: float(there[key]) <= 0)
