"""How well each ion conducts, and the conductivity of a water whose ions are known.

The house model: the ions and charged pairs that are really there, each with its own conductance at
the water's temperature and ionic strength.
"""

from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.density import viscosity_ratio
from waterkit.working import Note, Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric
    from waterkit.water.speciation import Speciation

MCCLESKEY_2012 = Source(
    "mccleskey-2012",
    "R. B. McCleskey, D. K. Nordstrom, J. N. Ryan, J. W. Ball, A new method of calculating "
    "electrical conductivity with applications to natural waters, Geochimica et Cosmochimica Acta "
    "77 (2012) 369-382, table of ion coefficients",
)

HIGHEST_US_CM = 5000.0
LOWEST_C, HIGHEST_C = 0.0, 60.0
_25_C = 25.0

# lambda0 = a2 t^2 + a1 t + a0, A = A2 t^2 + A1 t + A0, and B, as open-source implementations of the
# paper have them. Its conductances of NaSO4- and KSO4- are conventional: larger than an ion of that
# size has, because the conductance of sulfate was fitted together with them.
_COEFFICIENTS = {
    "K": (0.003046, 1.261, 40.70, 0.00535, 0.9316, 22.59, 1.5),
    "Na": (0.003763, 0.8770, 26.23, 0.00027, 1.141, 32.07, 1.7),
    "NH4": (0.003341, 1.285, 39.04, 0.00132, 0.6070, 11.19, 0.3),
    "Ca": (0.009645, 1.984, 62.28, 0.03174, 2.334, 132.3, 2.8),
    "Mg": (0.01068, 1.695, 57.16, 0.02453, 1.915, 80.50, 2.1),
    "Sr": (0.006649, 2.069, 61.63, 0.00702, 0.9009, 33.41, 0.1),
    "Ba": (0.01059, 2.090, 68.10, 0.03127, 2.248, 93.91, 1.9),
    "Fe": (0.009939, 1.878, 54.80, 0.03997, 3.217, 164.5, 4.0),
    "Mn": (0.01275, 2.109, 46.19, 0.1071, 9.023, 135.4, 7.6),
    "Al": (0.02376, 3.227, 90.24, 0.06484, 5.149, 76.79, 3.0),
    "H": (-0.01414, 5.355, 224.2, -0.00918, 1.842, 39.23, 0.3),
    "Cl": (0.003817, 1.337, 40.99, 0.00613, 0.9469, 22.01, 1.5),
    "SO4": (0.01037, 2.838, 82.37, 0.03324, 5.889, 193.5, 2.6),
    "NO3": (0.001925, 1.214, 39.90, 0.00118, 0.5045, 23.31, 0.1),
    "F": (0.002764, 1.087, 26.66, 0.00178, 0.6202, 19.34, 0.5),
    "Br": (0.000709, 1.477, 40.91, 0.00251, 0.5398, 12.01, 0.1),
    "HCO3": (0.000614, 0.9048, 21.14, -0.00503, 0.8957, 10.97, 0.1),
    "CO3": (-0.000326, 2.998, 64.03, -0.00181, 5.542, 120.2, 2.3),
    "OH": (0.003396, 2.925, 121.3, 0.00933, 0.1086, 35.9, 0.01),
    "HSO4": (0.000927, 0.8337, 29.56, 0.02887, 0.873, 36.25, 7.0),
    "NaSO4": (0.002309, 5.459, 219.2, 0.01454, 5.193, 253.6, 0.5),
    "KSO4": (0.002439, 4.253, 129.7, 0.01576, 6.21, 146.8, 1.3),
}
# Molar conductances at 25 degC [S cm2/mol] of what that table lacks: ions from handbooks, from
# memory; pairs from the diffusion coefficients of PHREEQC's database by Nernst and Einstein; those
# of which nothing was found as an ordinary ion of one charge, 35.
_AT_25_C = {
    "NO2": 71.8, "H2PO4": 33.0, "HPO4": 114.0, "PO4": 207.0, "H3SiO4": 35.0, "CaHCO3": 19.0,
    "MgHCO3": 18.0, "NH4SO4": 33.8, "CaOH": 35.0, "MgOH": 35.0, "MgF": 35.0,
}  # fmt: skip
_ONSAGER = (60.2, 0.229, 1.5)
CONDUCTING = (*_COEFFICIENTS, *_AT_25_C)


def limiting_conductance(ion: str, temperature_c: "Numeric") -> "Numeric":
    """Molar conductance of an ion or charged pair, alone in the water.

    lambda0 = a2 t^2 + a1 t + a0; where the table has none, lambda0(25 degC) eta(25 degC) / eta(t)

    Parameters
    ----------
    ion : str
        Key of the ion or pair.
    temperature_c : float or array
        Temperature of the water, 0 to 95 [degC].

    Returns
    -------
    conductance_s_cm2_eq : float or array
        Conductivity of one mole per litre at infinite dilution; for an ion of two charges twice
        that of an equivalent [S cm2/eq].

    Raises
    ------
    KeyError
        If it is no ion of the tables.

    Examples
    --------
    >>> print(limiting_conductance("H", 25.0))
    349.2

    References
    ----------
    R. B. McCleskey and others, Geochimica et Cosmochimica Acta 77 (2012) 369-382; what it lacks:
    handbooks, from memory, and diffusion coefficients of PHREEQC's database phreeqc.dat.
    """
    return _alone(ion, temperature_c, viscosity_ratio(temperature_c))


def _alone(ion: str, celsius: "Numeric", viscosity: "Numeric") -> "Numeric":
    if ion in _AT_25_C:
        return _AT_25_C[ion] / viscosity
    a2, a1, a0, *_ = _COEFFICIENTS[ion]
    return (a2 * celsius + a1) * celsius + a0


def ion_conductance(
    ion: str, temperature_c: "Numeric", ionic_strength_mol_l: "Numeric"
) -> "Numeric":
    """Molar conductance of an ion or charged pair among others.

    lambda = lambda0 - A sqrt I / (1 + B sqrt I), A = A2 t^2 + A1 t + A0; where the table has none,
    A = (60.2 + 0.229 lambda0(25 degC)) eta(25 degC) / eta(t), B = 1.5

    Parameters
    ----------
    ion : str
        Key of the ion or pair.
    temperature_c : float or array
        Temperature of the water, 0 to 95 [degC].
    ionic_strength_mol_l : float or array
        Ionic strength, pairs counted, up to 0.1 [mol/L].

    Returns
    -------
    conductance_s_cm2_eq : float or array
        Conductivity of one mole per litre [S cm2/eq].

    Raises
    ------
    KeyError
        If it is no ion of the tables.

    Examples
    --------
    >>> print(ion_conductance("Na", 25.0, 0.0), ion_conductance("Na", 25.0, 0.01))
    50.5 45.3

    References
    ----------
    R. B. McCleskey and others, Geochimica et Cosmochimica Acta 77 (2012) 369-382; L. Onsager,
    Physikalische Zeitschrift 28 (1927) 277-298, its factors from memory.
    """
    viscosity = viscosity_ratio(temperature_c)
    return _among_others(ion, temperature_c, np.sqrt(ionic_strength_mol_l), viscosity)


def _among_others(ion: str, celsius: "Numeric", root: "Numeric", viscosity: "Numeric") -> "Numeric":
    alone = _alone(ion, celsius, viscosity)
    if ion in _AT_25_C:
        relaxation, retardation, size = _ONSAGER
        slowed = (relaxation + retardation * _AT_25_C[ion]) / viscosity
        return np.maximum(alone - slowed * root / (1.0 + size * root), 0.0)
    *_, a2, a1, a0, size = _COEFFICIENTS[ion]
    slowed = (a2 * celsius + a1) * celsius + a0
    return alone - slowed * root / (1.0 + size * root)


def conductivity_us_cm(speciation: "Speciation") -> "Numeric":
    """Conductivity of a water at its own temperature [uS/cm].

    kappa = sum of lambda(t, I) c over the free ions and the charged pairs

    Parameters
    ----------
    speciation : Speciation
        What the water consists of.

    Returns
    -------
    conductivity_us_cm : float or array
        Conductivity as it is [uS/cm].

    Notes
    -----
    For 0 to 60 degC and up to 5000 uS/cm: see :func:`conductivity_notes`. Within 7 % of the
    published waters with a measured conductivity but one, a soft water, which comes out 12 % high;
    within 1 % for pure water at 25 degC; sodium and potassium sulfate by themselves within 5 % up
    to 0.02 mol/L. Waters of much calcium or magnesium sulfate (10 mmol/L and more) come out low:
    by 11 to 14 % against PHREEQC at 10 to 30 degC and 17 % at 60 degC, by 11 % for a handbook's
    magnesium sulfate.

    References
    ----------
    R. B. McCleskey and others, Geochimica et Cosmochimica Acta 77 (2012) 369-382.
    """
    celsius, root = speciation.temperature_c, np.sqrt(speciation.ionic_strength_mol_l)
    viscosity = viscosity_ratio(celsius)
    total: Numeric = 0.0
    for ion, amount in speciation.mmol_l.items():
        if ion in CONDUCTING:
            total = total + amount * _among_others(ion, celsius, root, viscosity)
    return total


def conductivity_notes(conductivity_us_cm: "Numeric", temperature_c: "Numeric") -> tuple[Note, ...]:
    """A note where a calculated conductivity lies outside what the model is made for.

    Parameters
    ----------
    conductivity_us_cm : float or array
        Calculated conductivity [uS/cm].
    temperature_c : float or array
        Temperature of the water [degC].

    Returns
    -------
    tuple of Note
        At most one for each range.

    References
    ----------
    See :func:`conductivity_us_cm`.
    """
    highest = float(np.max(conductivity_us_cm))
    coldest, warmest = float(np.min(temperature_c)), float(np.max(temperature_c))
    notes = []
    if highest > HIGHEST_US_CM:
        salty = {"us_cm": highest, "highest_us_cm": HIGHEST_US_CM}
        notes.append(Note("too-salty-for-conductivity", salty))
    if coldest < LOWEST_C or warmest > HIGHEST_C:
        celsius = coldest if coldest < LOWEST_C else warmest
        values = {"temperature_c": celsius, "low_c": LOWEST_C, "high_c": HIGHEST_C}
        notes.append(Note("temperature-outside-conductivity", values))
    return tuple(notes)
