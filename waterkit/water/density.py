"""Density and viscosity of water."""

from typing import TYPE_CHECKING

from waterkit.working import Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

TANAKA_2001 = Source(
    "tanaka-2001",
    "M. Tanaka and others, Recommended table for the density of water between 0 degC and 40 degC, "
    "Metrologia 38 (2001) 301-309",
)


def water_density_kg_l(temperature_c: "Numeric") -> "Numeric":
    """Density of air-free water at atmospheric pressure.

    rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4)))

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 40 [degC].

    Returns
    -------
    density_kg_l : float or array
        Density [kg/L].

    Notes
    -----
    Fitted for 0 to 40 degC. Up to 60 degC the same formula is used as it stands; it is then within
    0.1 % of steam-table values, which is far finer than anything in this package needs.

    Examples
    --------
    >>> water_density_kg_l(20.0)
    0.998207

    References
    ----------
    M. Tanaka and others, Recommended table for the density of water between 0 degC and 40 degC,
    Metrologia 38 (2001) 301-309.
    """
    t = temperature_c
    shortfall = (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881))
    return 0.999974950 * (1.0 - shortfall)


def viscosity_ratio(temperature_c: "Numeric") -> "Numeric":
    """How much more viscous water is than at 25 degC.

    eta = sum of a_i (T / 300 K)^b_i, a = 280.68, 511.45, 61.131, 0.45903 uPa s,
    b = -1.9, -7.7, -19.6, -40.0; divided by eta(25 degC)

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 100 [degC].

    Returns
    -------
    ratio : float or array
        Viscosity over the viscosity at 25 degC [1].

    Examples
    --------
    >>> print(viscosity_ratio(0.0))
    2.013

    References
    ----------
    IAPWS SR6-08, Supplementary release on properties of liquid water at 0.1 MPa, 2011, from memory.
    """
    return _viscosity_upa_s(temperature_c) / _viscosity_upa_s(25.0)


def _viscosity_upa_s(temperature_c: "Numeric") -> "Numeric":
    t = (temperature_c + 273.15) / 300.0
    return 280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40.0
