"""What a water may let fall out: saturation with calcite, gypsum and amorphous silica."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.pairs import Coefficients, log_k

if TYPE_CHECKING:
    from waterkit.quantities import Numeric
    from waterkit.water.speciation import Speciation

CALCITE: Coefficients = (17.118, -0.046528, -3496.0, 0.0, 0.0, 0.0)
GYPSUM: Coefficients = (93.7, 5.99e-3, -4000.0, -35.019, 0.0, 0.0)
AMORPHOUS_SILICA: Coefficients = (-0.26, 0.0, -731.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Saturation:
    """Saturation indices: above 0 a mineral may form, below 0 it dissolves.

    Minus infinity where the water holds nothing of it.
    """

    calcite: "Numeric"
    gypsum: "Numeric"
    silica: "Numeric"


def saturation(speciation: "Speciation") -> Saturation:
    """How far a water is from equilibrium with calcite, gypsum and amorphous silica.

    SI = log10(product of the activities / K)

    Parameters
    ----------
    speciation : Speciation
        What the water consists of, at its own temperature.

    Returns
    -------
    Saturation
        Saturation indices.

    Notes
    -----
    What a water does in practice differs: calcite can wait at an index of 0.3 and more, and what
    inhibitors do is not counted.

    References
    ----------
    D. L. Parkhurst, C. A. J. Appelo, PHREEQC version 3, U.S. Geological Survey, 2013: constants of
    its database phreeqc.dat (calcite: L. N. Plummer, E. Busenberg, 1982).
    """
    activity, celsius = speciation.activity_mol_l, speciation.temperature_c
    calcium = activity.get("Ca", 0.0)
    with np.errstate(divide="ignore"):
        return Saturation(
            np.log10(calcium * activity["CO3"]) - log_k(CALCITE, celsius),
            np.log10(calcium * activity.get("SO4", 0.0)) - log_k(GYPSUM, celsius),
            np.log10(activity.get("SiO2", 0.0) + 0.0 * celsius) - log_k(AMORPHOUS_SILICA, celsius),
        )
