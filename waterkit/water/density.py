"""The density of water."""

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
