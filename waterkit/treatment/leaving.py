"""The water that leaves a column by itself: pH, and conductivity once it is kept closed and warmed.

All that a column knows of conductivity is here.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.treatment.exchange import Cells, Chemistry, unknown_water
from waterkit.water.conductance import CONDUCTING, ion_conductance

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

AT_ONCE = 4096
"""Waters that are reckoned together, so that the arrays stay near the processor."""
_ION = {"C": "HCO3", "SiO2": "H3SiO4"}
_MADE_UP, _MADE_DOWN = {"SO4": "HSO4"}, {"Ca": "CaOH", "Mg": "MgOH"}
ROUNDS, SAME = 5, 1e-3
"""Activity coefficients and ion pairs follow what the round before found, until it is the same."""


@dataclass(frozen=True, slots=True)
class Leaving:
    """Waters at one temperature.

    Parameters
    ----------
    ph : array
        pH at that temperature [1].
    conductivity_us_cm : array
        Conductivity at that temperature [uS/cm].
    """

    ph: "Array"
    conductivity_us_cm: "Array"


def leaving(
    present: "Sequence[str]", mmol_l: "Array", temperature_c: "Array", guess_ln_h: "Array"
) -> Leaving:
    """PH and conductivity of waters that nothing can leave or enter.

    no charge in all; kappa = sum of lambda(t, I) c over the free ions

    Parameters
    ----------
    present : sequence of str
        Which species the rows are, in the order of ``exchange.SPECIES``.
    mmol_l : array
        Amounts: species, waters [mmol/L].
    temperature_c : array
        Temperature of each water [degC].
    guess_ln_h : array
        Natural logarithm of the activity of hydrogen ion, as good as it is known [1].

    Returns
    -------
    Leaving
        pH [1] and conductivity [uS/cm].

    References
    ----------
    Conductances: R. B. McCleskey and others, Geochimica et Cosmochimica Acta 77 (2012) 369-382.
    """
    ph, conductivity = np.empty_like(guess_ln_h), np.empty_like(guess_ln_h)
    for first in range(0, len(guess_ln_h), AT_ONCE):
        some = slice(first, first + AT_ONCE)
        ph[some], conductivity[some] = _some(
            present, mmol_l[:, some], temperature_c[some], guess_ln_h[some]
        )
    return Leaving(ph, conductivity)


def _some(
    present: "Sequence[str]", water: "Array", celsius: "Array", guess: "Array"
) -> "tuple[Array, Array]":
    chemistry = Chemistry(present, celsius)
    nothing = np.zeros(len(guess))
    cells = Cells(chemistry, np.arange(len(guess)), 0.0 * water, nothing, nothing, True)
    logs = np.array([nothing, nothing, guess])
    known = unknown_water(*water.shape)
    for _ in range(ROUNDS):
        before = known[-1]
        _, known = cells.settle(slice(None), water, nothing, logs, known)
        if np.all(np.abs(known[-1] - before) < SAME * known[-1]):
            break
    return -logs[2] / np.log(10.0), _conductivity(cells, known, np.exp(logs[2]), celsius)


def _conductivity(cells: Cells, known: "Array", h: "Array", celsius: "Array") -> "Array":
    """Sum over the free ions, what they become with hydrogen ions, and the charged pairs."""
    chemistry, everything = cells.chemistry, slice(None)
    one_c = celsius[0] if np.ptp(celsius) == 0.0 else celsius
    gamma, up, down, _ = cells.in_water(everything, known)

    def part(ion: str, mmol_l: "Array") -> "Array":
        return np.asarray(mmol_l * ion_conductance(ion, one_c, known[-1]))

    total = part("H", 1000.0 / gamma * h) + part("OH", 1000.0 / gamma * cells.kw / h)
    for place, key in enumerate(chemistry.present):
        total += part(_ION.get(key, key), known[place])
        row = place - chemistry.weak.start
        if key in _MADE_UP:
            total += part(_MADE_UP[key], known[place] * up[row] * h)
        if key in _MADE_DOWN:
            total += part(_MADE_DOWN[key], known[place] * down[row] / h)
    if chemistry.carbon is not None:
        total += part("CO3", known[-2])
    for key, amount in cells.pairs.amounts(gamma, known):
        if key in CONDUCTING:
            total += part(key, amount)
    return total
