"""Equilibrium constants of water and carbonic acid, and activity coefficients."""

from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.density import water_density_kg_l
from waterkit.working import Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

PLUMMER_BUSENBERG_1982 = Source(
    "plummer-busenberg-1982",
    "L. N. Plummer, E. Busenberg, The solubilities of calcite, aragonite and vaterite in CO2-H2O "
    "solutions between 0 and 90 degC, Geochimica et Cosmochimica Acta 46 (1982) 1011-1040",
)
IAPWS_R11 = Source(
    "iapws-r11-24",
    "IAPWS R11-24, Revised release on the ionization constant of H2O, 2024 (A. V. Bandura, "
    "S. N. Lvov, Journal of Physical and Chemical Reference Data 35 (2006) 15-30, refitted)",
)

_KELVIN = 273.15


def log_k1(temperature_c: "Numeric") -> "Numeric":
    """First dissociation of carbonic acid, CO2 + H2O = H+ + HCO3-, as log10 K.

    log K1 = -356.3094 - 0.06091964 T + 21834.37/T + 126.8339 log T - 1684915/T^2

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 90 [degC].

    Returns
    -------
    log_k1 : float or array
        Decimal logarithm of the constant, mol/kg [1].

    Examples
    --------
    >>> print(log_k1(25.0))
    -6.352

    References
    ----------
    L. N. Plummer, E. Busenberg, Geochimica et Cosmochimica Acta 46 (1982) 1011-1040.
    """
    t = temperature_c + _KELVIN
    return -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * np.log10(t) - 1684915.0 / t**2


def log_k2(temperature_c: "Numeric") -> "Numeric":
    """Second dissociation of carbonic acid, HCO3- = H+ + CO3--, as log10 K.

    log K2 = -107.8871 - 0.03252849 T + 5151.79/T + 38.92561 log T - 563713.9/T^2

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 90 [degC].

    Returns
    -------
    log_k2 : float or array
        Decimal logarithm of the constant, mol/kg [1].

    Examples
    --------
    >>> print(log_k2(25.0))
    -10.329

    References
    ----------
    L. N. Plummer, E. Busenberg, Geochimica et Cosmochimica Acta 46 (1982) 1011-1040.
    """
    t = temperature_c + _KELVIN
    return -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * np.log10(t) - 563713.9 / t**2


def log_henry(temperature_c: "Numeric") -> "Numeric":
    """Solubility of carbon dioxide, CO2(g) = CO2(aq), as log10 K.

    log KH = 108.3865 + 0.01985076 T - 6919.53/T - 40.45154 log T + 669365/T^2

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 90 [degC].

    Returns
    -------
    log_henry : float or array
        Decimal logarithm of the constant, mol/(kg atm) [1].

    Examples
    --------
    >>> print(log_henry(25.0))
    -1.468

    References
    ----------
    L. N. Plummer, E. Busenberg, Geochimica et Cosmochimica Acta 46 (1982) 1011-1040.
    """
    t = temperature_c + _KELVIN
    return 108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * np.log10(t) + 669365.0 / t**2


def p_kw(temperature_c: "Numeric", density_kg_l: "Numeric") -> "Numeric":
    """Ion product of water, H2O = H+ + OH-, as its negative decimal logarithm.

    pKw = -2n [log(1 + Q) - Q/(Q+1) rho (b0 + b1/T + b2 rho)] + pKwG + 2 log(M/1000),
    Q = rho exp(a0 + a1/T + a2 rho^(2/3)/T^2)

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 1000 [degC].
    density_kg_l : float or array
        Density of the water [kg/L].

    Returns
    -------
    p_kw : float or array
        Negative decimal logarithm of the ion product, (mol/kg)^2 [1].

    Examples
    --------
    >>> print(p_kw(26.85, 1.0))
    13.906672

    References
    ----------
    IAPWS R11-24, Revised release on the ionization constant of H2O, 2024, table of check values.
    """
    t, rho = temperature_c + _KELVIN, density_kg_l
    q = rho * np.exp(-0.702132 + 8681.05 / t - 24145.1 * rho ** (2 / 3) / t**2)
    dense = np.log10(1.0 + q) - q / (q + 1.0) * rho * (0.813876 - 51.4471 / t - 0.469920 * rho)
    gas = 0.61415 + 48251.33 / t - 67707.93 / t**2 + 10102100.0 / t**3
    pk: Numeric = -12.0 * dense + gas + 2.0 * np.log10(18.015268 / 1000.0)
    return pk


def water_ion_product(temperature_c: "Numeric") -> "Numeric":
    """Ion product of water at atmospheric pressure.

    Kw = 10^-pKw(T, density at atmospheric pressure)

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].

    Returns
    -------
    ion_product : float or array
        Ion product, (mol/kg)^2 [1].

    Examples
    --------
    >>> print(-np.log10(water_ion_product(25.0)))
    13.99

    References
    ----------
    IAPWS R11-24; density of M. Tanaka and others, Metrologia 38 (2001) 301-309.
    """
    density_kg_l = water_density_kg_l(temperature_c)
    return 1.0 / 10.0 ** p_kw(temperature_c, density_kg_l)


def debye_huckel_slope(temperature_c: "Numeric") -> "Numeric":
    """Slope of the Debye-Hueckel limiting law for log10 of an activity coefficient.

    A = 1.8248e6 sqrt(rho) / (eps T)^1.5, eps = 87.740 - 0.40008 t + 9.398e-4 t^2 - 1.410e-6 t^3

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 100 [degC].

    Returns
    -------
    slope : float or array
        Slope, (kg/mol)^0.5 [1].

    Examples
    --------
    >>> print(debye_huckel_slope(25.0))
    0.51

    References
    ----------
    Permittivity: C. G. Malmberg, A. A. Maryott, Journal of Research of the National Bureau of
    Standards 56 (1956) 1-8; both formulas from memory.
    """
    t = temperature_c
    return 1.8248e6 * np.sqrt(water_density_kg_l(t)) / (permittivity(t) * (t + _KELVIN)) ** 1.5


def permittivity(temperature_c: "Numeric") -> "Numeric":
    """Relative permittivity (dielectric constant) of water.

    eps = 87.740 - 0.40008 t + 9.398e-4 t^2 - 1.410e-6 t^3

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 100 [degC].

    Returns
    -------
    permittivity : float or array
        Relative permittivity [1].

    Examples
    --------
    >>> print(permittivity(25.0))
    78.3

    References
    ----------
    C. G. Malmberg, A. A. Maryott, Journal of Research of the National Bureau of Standards 56 (1956)
    1-8, from memory.
    """
    t = temperature_c
    return ((-1.410e-6 * t + 9.398e-4) * t - 0.40008) * t + 87.740


def davies(charge: int, temperature_c: "Numeric", ionic_strength_mol_l: "Numeric") -> "Numeric":
    """Activity coefficient of an ion.

    log gamma = -A z^2 (sqrt I / (1 + sqrt I) - 0.3 I)

    Parameters
    ----------
    charge : int
        Charge of the ion [1].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    ionic_strength_mol_l : float or array
        Ionic strength, up to 0.5 [mol/L].

    Returns
    -------
    activity_coefficient : float or array
        Activity coefficient [1].

    Examples
    --------
    >>> print(davies(1, 25.0, 0.01))
    0.90

    References
    ----------
    C. W. Davies, Ion Association, Butterworths, London, 1962, from memory.
    """
    root = np.sqrt(ionic_strength_mol_l)
    bracket = root / (1.0 + root) - 0.3 * ionic_strength_mol_l
    return 10.0 ** (-debye_huckel_slope(temperature_c) * charge**2 * bracket)
