"""The substances that ions form in water: ion pairs, acids and their constants.

One row a substance. Constants and ion sizes are those of the database ``phreeqc.dat`` of PHREEQC
version 3, which is in the public domain.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.density import water_density_kg_l
from waterkit.water.equilibria import debye_huckel_slope, permittivity
from waterkit.working import Source

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]

PHREEQC_DATABASE = Source(
    "phreeqc-database",
    "D. L. Parkhurst, C. A. J. Appelo, Description of input and examples for PHREEQC version 3, "
    "U.S. Geological Survey Techniques and Methods 6-A43, 2013; database phreeqc.dat of May 2024",
)

CATIONS = ("Ca", "Mg", "Na", "K", "NH4")
LIGANDS = ("CO3", "SO4", "F", "PO4", "SiO2")
INERT = ("Fe", "Mn", "Sr", "Ba", "Al", "Cl", "NO3", "NO2", "Br")
"""Ions that are taken as free; silica counts as SiO2 with its water."""

CHARGES = {
    "Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1, "CO3": -2, "SO4": -2, "F": -1, "PO4": -3,
    "SiO2": 0, "H": 1, "Fe": 2, "Mn": 2, "Sr": 2, "Ba": 2, "Al": 3, "Cl": -1, "NO3": -1, "NO2": -1,
    "Br": -1,
}  # fmt: skip
ALKALINITY = {"CO3": 2, "PO4": 2}
"""Alkalinity that one mole of a ligand counts: titrated to CO2 and H2PO4-."""

_KELVIN, _25_K = 273.15, 298.15
_LN_10 = float(np.log(10.0))
_GAS_CONSTANT_KJ = 8.314462618e-3
_KJ_PER_KCAL = 4.184

Coefficients = tuple[float, float, float, float, float, float]
"""log10 K = a + b T + c/T + d log10 T + e/T^2 + f T^2, T in kelvin."""


@dataclass(frozen=True, slots=True)
class Formed:
    """One substance that forms of a cation, a ligand and hydrogen ions.

    ``size`` and ``slope`` are the ion size [angstrom] and the linear term of the extended
    Debye-Hueckel formula; without a size an ion follows Davies.
    """

    key: str
    cation: str
    ligand: str
    hydrogen: int
    log_k: Coefficients
    size: float | None = None
    slope: float = 0.0

    @property
    def charge(self) -> int:
        """Charge of the substance."""
        return sum(CHARGES[part] for part in (self.cation, self.ligand) if part) + self.hydrogen

    @property
    def alkalinity(self) -> int:
        """Alkalinity that one mole of it counts."""
        return ALKALINITY.get(self.ligand, 0) - self.hydrogen


def _constant(log_k: float, kcal: float = 0.0, kj: float = 0.0) -> Coefficients:
    """Coefficients of a constant known at 25 degC with its heat (van 't Hoff)."""
    heat = (kj or kcal * _KJ_PER_KCAL) / (_GAS_CONSTANT_KJ * np.log(10.0))
    return (log_k + heat / _25_K, 0.0, -heat, 0.0, 0.0, 0.0)


def _sum(*constants: Coefficients) -> Coefficients:
    a, b, c, d, e, f = (sum(parts) for parts in zip(*constants, strict=True))
    return (a, b, c, d, e, f)


_HCO3: Coefficients = (107.8871, 0.03252849, -5151.79, -38.92561, 563713.9, 0.0)
_CO2: Coefficients = (464.1965, 0.09344813, -26986.16, -165.75951, 2248628.9, 0.0)
_OH: Coefficients = (293.29227, 0.1360833, -10576.913, -123.73158, 0.0, -6.996455e-5)
_H3SIO4: Coefficients = (-302.3724, -0.050698, 15669.69, 108.18466, -1119669.0, 0.0)
_MGHCO3: Coefficients = (48.6721, 0.03252849, -2614.335, -18.00263, 563713.9, 0.0)

FORMED = (
    Formed("OH", "", "", -1, _OH, 3.5),
    Formed("HCO3", "", "CO3", 1, _HCO3, 5.4),
    Formed("CO2", "", "CO3", 2, _CO2, 0.0, 0.066),
    Formed("HSO4", "", "SO4", 1, (-56.889, 0.006473, 2307.9, 19.8858, 0.0, 0.0)),
    Formed("HF", "", "F", 1, (-2.033, 0.012645, 429.01, 0.0, 0.0, 0.0), 0.0, 0.1),
    Formed("HPO4", "", "PO4", 1, _constant(12.346, kcal=-3.53), 5.0),
    Formed("H2PO4", "", "PO4", 2, _constant(19.553, kcal=-4.52), 5.4),
    Formed("H3SiO4", "", "SiO2", -1, _H3SIO4, 4.0),
    Formed("NH3", "NH4", "", -1, (0.6322, -0.001225, -2835.76, 0.0, 0.0, 0.0), 0.0, 0.1),
    Formed("CaOH", "Ca", "", -1, _constant(-12.78)),
    Formed("CaCO3", "Ca", "CO3", 0, (-1228.732, -0.29944, 35512.75, 485.818, 0.0, 0.0), 0.0, 0.1),
    Formed("CaHCO3", "Ca", "CO3", 1, (-6.009, 3.377e-2, 2044.0, 0.0, 0.0, 0.0), 6.0),
    Formed("CaSO4", "Ca", "SO4", 0, _constant(2.25, kcal=1.325), 0.0, 0.1),
    Formed("MgOH", "Mg", "", -1, _constant(-11.44, kcal=15.952), 6.5),
    Formed("MgCO3", "Mg", "CO3", 0, (0.991, 0.00667, 0.0, 0.0, 0.0, 0.0), 0.0, 0.1),
    Formed("MgHCO3", "Mg", "CO3", 1, _MGHCO3, 4.0),
    Formed("MgSO4", "Mg", "SO4", 0, (0.0, 9.64e-3, -136.0, 0.0, 0.0, 0.0), 0.0, 0.2),
    Formed("MgF", "Mg", "F", 0, _constant(1.82, kcal=3.2), 4.5),
    Formed("NaHCO3", "Na", "CO3", 1, _sum(_HCO3, _constant(-0.06, kj=21.0)), 0.0, 0.2),
    Formed("NaSO4", "Na", "SO4", 0, (255.903, 0.10057, 0.0, -111.138, -8.5983e5, 0.0), 5.5),
    Formed("KHCO3", "K", "CO3", 1, _sum(_HCO3, _constant(-0.35, kj=12.0)), 0.0, 9.4e-3),
    Formed("KSO4", "K", "SO4", 0, (-3.0246, 9.986e-3, 0.0, 0.0, 1.093e5, 0.0), 5.4, 0.19),
    Formed("NH4SO4", "NH4", "SO4", 0, _constant(1.211, kj=8.56), 2.08, -0.0416),
)

FREE = {
    "H": (9.0, 0.0), "Ca": (5.0, 0.165), "Mg": (5.5, 0.2), "Na": (4.08, 0.082), "K": (3.5, 0.015),
    "NH4": (2.5, 0.0), "CO3": (5.4, 0.0), "SO4": (5.0, -0.04), "F": (3.5, 0.0), "PO4": (4.0, 0.0),
    "SiO2": (0.0, 0.1),
}  # fmt: skip
"""Ion size [angstrom] and linear term of the free ions that form something."""


def log_k(constant: Coefficients, temperature_c: "Numeric") -> "Numeric":
    """A constant at the water's temperature, as log10 K.

    log K = a + b T + c/T + d log T + e/T^2 + f T^2

    Parameters
    ----------
    constant : tuple of float
        Coefficients a to f.
    temperature_c : float or array
        Temperature of the water, 0 to 100 [degC].

    Returns
    -------
    log_k : float or array
        Decimal logarithm of the constant [1].

    Examples
    --------
    >>> print(log_k(FORMED[1].log_k, 25.0))
    10.329

    References
    ----------
    D. L. Parkhurst, C. A. J. Appelo, PHREEQC version 3, U.S. Geological Survey, 2013: form and
    coefficients of its database phreeqc.dat.
    """
    a, b, c, d, e, f = constant
    t = temperature_c + _KELVIN
    return a + (b + f * t) * t + (c + e / t) / t + d * np.log10(t)


class Activity:
    """Activity coefficients of many substances at once, at a temperature.

    log gamma = -A z^2 sqrt I / (1 + B a sqrt I) + b I; without a size, after Davies,
    -A z^2 (sqrt I / (1 + sqrt I) - 0.3 I). (A. H. Truesdell, B. F. Jones, Journal of Research of
    the U.S. Geological Survey 2 (1974) 233-248; C. W. Davies, 1962.)
    """

    def __init__(self, rows: "Iterable[tuple[int, float | None, float]]", celsius: "Array") -> None:
        self._rows = list(rows)
        self._slope = np.asarray(debye_huckel_slope(celsius))
        self._size = 50.2916 * np.sqrt(
            water_density_kg_l(celsius) / (permittivity(celsius) * (celsius + _KELVIN))
        )

    def __call__(self, strength: "Array") -> "list[Array]":
        """Activity coefficients, one for each substance."""
        root = np.sqrt(strength)
        found = {row: np.exp(_LN_10 * self._log(*row, root, strength)) for row in set(self._rows)}
        return [found[row] for row in self._rows]

    def _log(
        self, charge: int, angstrom: float | None, slope: float, root: "Array", strength: "Array"
    ) -> "Array":
        if not charge:
            return slope * strength
        if angstrom is None:
            return self._slope * charge**2 * (0.3 * strength - root / (1.0 + root))
        law = self._slope * charge**2 * root / (1.0 + angstrom * self._size * root)
        return slope * strength - law if slope else -law
