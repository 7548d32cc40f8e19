"""How well water conducts: a composition after Standard Methods, pure water, dilute water."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.conductance import limiting_conductance
from waterkit.water.equilibria import water_ion_product
from waterkit.water.ions import SPECIES
from waterkit.working import Note, Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

STANDARD_METHODS_2510 = Source(
    "standard-methods-2510",
    "Standard Methods for the Examination of Water and Wastewater, 2510 A, calculation of "
    "conductivity; table 2510:II",
    "memory",
)
MCCLESKEY_2011 = Source(
    "mccleskey-2011",
    "R. B. McCleskey, Electrical conductivity of electrolytes found in natural waters from (5 to "
    "90) degC, Journal of Chemical and Engineering Data 56 (2011) 317-327, coefficients of NaCl",
)

# Limiting equivalent conductances at 25 degC [S cm2/eq]. The first block is table 2510:II of
# Standard Methods; phosphate as HPO4, as in water near pH 7.5. The second block is not in that
# table: general handbook values, from memory.
LIMITING_S_CM2_EQ: dict[str, float] = {
    "H": 350.0, "OH": 198.6, "Ca": 59.5, "Mg": 53.1, "Na": 50.1, "K": 73.5, "NH4": 73.5,
    "HCO3": 44.5, "CO3": 72.0, "SO4": 80.0, "Cl": 76.4, "NO3": 71.4, "F": 54.4, "Fe": 54.0,
    "PO4": 57.0,
    "Mn": 53.5, "Sr": 59.4, "Ba": 63.6, "Al": 61.0, "NO2": 71.8, "Br": 78.1,
}  # fmt: skip
_CHARGE = {key: abs(species.charge) for key, species in SPECIES.items()} | {"PO4": 2}

HIGHEST_IONIC_STRENGTH_MOL_L = 0.5
_25_C = 25.0
_SPREAD_AT_0_C = (0.08, 0.20)


@dataclass(frozen=True, slots=True)
class StandardMethods:
    """Conductivity at 25 degC after Standard Methods 2510 A, with the steps on the way.

    Parameters
    ----------
    k0_us_cm : float
        Conductivity if every ion were alone in the water [uS/cm].
    ionic_strength_mol_l : float
        Ionic strength, no ion pairs counted [mol/L].
    activity_factor : float
        Activity coefficient of an ion with one charge [1].
    conductivity_us_cm : float
        Conductivity at 25 degC [uS/cm].
    """

    k0_us_cm: "Numeric"
    ionic_strength_mol_l: "Numeric"
    activity_factor: "Numeric"
    conductivity_us_cm: "Numeric"
    notes: tuple[Note, ...] = ()


def standard_methods_conductivity(mmol_l: Mapping[str, "Numeric"]) -> StandardMethods:
    """Conductivity at 25 degC from the ions in the water.

    k0 = sum |z| lambda c, I = sum z^2 c / 2000,
    y = 10^(-0.5 (sqrt I / (1 + sqrt I) - 0.3 I)), k = k0 y^2

    Parameters
    ----------
    mmol_l : mapping of species to float or array
        Amount concentrations; species without a charge do not conduct [mmol/L].

    Returns
    -------
    StandardMethods
        Conductivity [uS/cm] and the steps on the way.

    Raises
    ------
    KeyError
        If a key is no species.

    Notes
    -----
    For ionic strengths up to 0.5 mol/L and 20 to 30 degC; beyond, a note says so. Made for mixed
    natural waters: pure KCl comes out 5 % low at 1 mmol/L and 13 % low at 10 mmol/L.

    Examples
    --------
    >>> print(standard_methods_conductivity({"Na": 1.0, "Cl": 1.0}).k0_us_cm)
    126.5

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 2510 A and table 2510:II, from
    memory.
    """
    ions = {key: amount for key, amount in mmol_l.items() if _CHARGE[key]}
    k0 = _total(_CHARGE[key] * LIMITING_S_CM2_EQ[key] * amount for key, amount in ions.items())
    strength = ionic_strength_mol_l(ions)
    factor = standard_methods_activity(strength)
    beyond = bool(np.any(np.asarray(strength) > HIGHEST_IONIC_STRENGTH_MOL_L))
    notes = (Note("too-salty-for-standard-methods"),) if beyond else ()
    return StandardMethods(k0, strength, factor, k0 * factor**2, notes)


def _total(parts: Iterable["Numeric"]) -> "Numeric":
    total: Numeric = 0.0
    for part in parts:
        total = total + part
    return total


def ionic_strength_mol_l(mmol_l: Mapping[str, "Numeric"]) -> "Numeric":
    """Ionic strength of a composition, no ion pairs counted.

    I = sum z^2 c / 2

    Parameters
    ----------
    mmol_l : mapping of species to float or array
        Amount concentrations [mmol/L].

    Returns
    -------
    ionic_strength_mol_l : float or array
        Ionic strength [mol/L].

    Notes
    -----
    Phosphate counts as HPO4, as in water near pH 7.5.

    References
    ----------
    G. N. Lewis, M. Randall, Journal of the American Chemical Society 43 (1921) 1112-1154.
    """
    return _total(_CHARGE[key] ** 2 * amount for key, amount in mmol_l.items()) / 2000.0


def standard_methods_activity(ionic_strength_mol_l: "Numeric") -> "Numeric":
    """Activity coefficient of an ion with one charge, as Standard Methods 2510 A takes it.

    y = 10^(-0.5 (sqrt I / (1 + sqrt I) - 0.3 I))

    Parameters
    ----------
    ionic_strength_mol_l : float or array
        Ionic strength, 0 to 0.5 [mol/L].

    Returns
    -------
    activity_factor : float or array
        Activity coefficient [1].

    Examples
    --------
    >>> print(standard_methods_activity(0.00767))
    0.91

    References
    ----------
    Standard Methods for the Examination of Water and Wastewater, 2510 A, from memory.
    """
    root = np.sqrt(ionic_strength_mol_l)
    return 10.0 ** (-0.5 * (root / (1.0 + root) - 0.3 * ionic_strength_mol_l))


def pure_water(temperature_c: "Numeric") -> "Numeric":
    """Conductivity of water with nothing in it.

    kappa = sqrt(Kw) (lambda_H + lambda_OH)

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].

    Returns
    -------
    conductivity_us_cm : float or array
        Conductivity as it is at that temperature [uS/cm].

    Notes
    -----
    Within 1 % of the IAPWS-1990 formulation at 0 and 25 degC and 5 % above it at 5 to 10 degC.

    Examples
    --------
    >>> print(pure_water(25.0))
    0.0549

    References
    ----------
    Ion product: IAPWS R11. Conductances: R. B. McCleskey and others, 2012, see
    :func:`waterkit.water.conductance.limiting_conductance`.
    """
    conductance = limiting_conductance("H", temperature_c) + limiting_conductance(
        "OH", temperature_c
    )
    return np.sqrt(water_ion_product(temperature_c)) * conductance * 1000.0


def salt_factor(temperature_c: "Numeric") -> "Numeric":
    """How much better dilute salt water conducts at 25 degC than at its own temperature.

    f25 = Lambda(25 degC) / Lambda(t), Lambda = c1 t^2 + c2 t + c3 of NaCl at infinite dilution

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].

    Returns
    -------
    factor : float or array
        Factor from the conductivity at that temperature to the one at 25 degC [1].

    Examples
    --------
    >>> print(salt_factor(10.0))
    1.419

    References
    ----------
    R. B. McCleskey, Journal of Chemical and Engineering Data 56 (2011) 317-327, coefficients of
    NaCl.
    """
    return _sodium_chloride(_25_C) / _sodium_chloride(temperature_c)


def _sodium_chloride(temperature_c: "Numeric") -> "Numeric":
    return (0.008967 * temperature_c + 2.196) * temperature_c + 67.03


def dilute_at_temperature(conductivity_25_us_cm: "Numeric", temperature_c: "Numeric") -> "Numeric":
    """What water of a known conductivity at 25 degC conducts at another temperature.

    kappa(t) = kappa_w(t) + (kappa_25 - kappa_w(25)) / f25(t): pure water plus salt taken as NaCl

    Parameters
    ----------
    conductivity_25_us_cm : float or array
        Conductivity of the same water, kept closed, at 25 degC [uS/cm].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].

    Returns
    -------
    conductivity_us_cm : float or array
        Conductivity as it is at that temperature [uS/cm].

    Notes
    -----
    For treated water. What water carries beside NaCl changes otherwise with temperature: see
    :func:`dilute_spread`.

    Examples
    --------
    >>> print(dilute_at_temperature(5.0, 10.0))
    3.508

    References
    ----------
    See :func:`pure_water` and :func:`salt_factor`.
    """
    salt = (conductivity_25_us_cm - pure_water(_25_C)) / salt_factor(temperature_c)
    return pure_water(temperature_c) + salt


def dilute_spread(temperature_c: "Numeric") -> "tuple[Numeric, Numeric]":
    """How far off :func:`dilute_at_temperature` may be for water that carries no NaCl.

    low = 1 - 0.08 (25 - t) / 25, high = 1 + 0.20 (25 - t) / 25

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 25 [degC].

    Returns
    -------
    low, high : float or array
        Least and most that such water conducts, over what is told for NaCl [1].

    Notes
    -----
    Water with nothing but carbon dioxide, kept closed, conducts 5 to 8 % less at 0 degC than NaCl
    that conducts as much at 25 degC, for it gives off fewer hydrogen ions in the cold; hydrochloric
    acid conducts 19 % more, caustic 14 % more, sodium hydrogen carbonate 6 % less. Above 25 degC
    nothing is told (1 and 1).

    Examples
    --------
    >>> print(*dilute_spread(0.0))
    0.92 1.2

    References
    ----------
    The model of :func:`waterkit.water.conductance.conductivity_us_cm` on these four, rounded up.
    """
    share = np.maximum(_25_C - np.asarray(temperature_c, dtype=float), 0.0) / _25_C
    return (1.0 - _SPREAD_AT_0_C[0] * share)[()], (1.0 + _SPREAD_AT_0_C[1] * share)[()]


def dilute_at_25(conductivity_us_cm: "Numeric", temperature_c: "Numeric") -> "Numeric":
    """What treated water would conduct at 25 degC, kept closed and warmed.

    kappa_25 = kappa_w(25) + f25(t) (kappa - kappa_w(t)): the inverse of ``dilute_at_temperature``

    Parameters
    ----------
    conductivity_us_cm : float or array
        Conductivity as it is at the water's temperature [uS/cm].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].

    Returns
    -------
    conductivity_25_us_cm : float or array
        Conductivity of the same water at 25 degC [uS/cm].

    Notes
    -----
    For treated water; salt is taken as NaCl, see :func:`dilute_at_temperature`.

    Examples
    --------
    >>> print(dilute_at_25(3.508, 10.0))
    5.0

    References
    ----------
    See :func:`pure_water` and :func:`salt_factor`.
    """
    salt = (conductivity_us_cm - pure_water(temperature_c)) * salt_factor(temperature_c)
    return pure_water(_25_C) + salt
