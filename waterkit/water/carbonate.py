"""Carbon dioxide, alkalinity and pH: the carbonate balance of a water, and of air and water."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.conductivity import limiting_conductance
from waterkit.water.equilibria import davies, log_henry, log_k1, log_k2, water_ion_product

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

_AIR_ROUNDS = 4
_PH_LOW, _PH_HIGH, _PH_ROUNDS = 1.0, 13.5, 48


@dataclass(frozen=True, slots=True)
class CarbonateSpecies:
    """What the carbonate of a water consists of, all in mmol/L."""

    co2: "Numeric"
    hco3: "Numeric"
    co3: "Numeric"
    h: "Numeric"
    oh: "Numeric"

    @property
    def total_carbon(self) -> "Numeric":
        """Total inorganic carbon [mmol/L]."""
        return self.co2 + self.hco3 + self.co3


def carbonate_species(
    alkalinity_meq_l: "Numeric",
    ph: "Numeric",
    temperature_c: "Numeric",
    ionic_strength_mol_l: "Numeric",
) -> CarbonateSpecies:
    """Carbonate of a water from its alkalinity and pH.

    alkalinity = HCO3 + 2 CO3 + OH - H, with K1, K2, Kw and activity coefficients

    Parameters
    ----------
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].
    ph : float or array
        pH at the temperature of the water [1].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    ionic_strength_mol_l : float or array
        Ionic strength, up to 0.5 [mol/L].

    Returns
    -------
    CarbonateSpecies
        Amount concentrations [mmol/L].

    Notes
    -----
    No ion pairs. Where alkalinity is smaller than OH - H, which pH and alkalinity of a real water
    can only be by a fault of measurement, there is no carbonate. One kilogram of water is taken as
    one litre.

    References
    ----------
    L. N. Plummer, E. Busenberg, 1982; IAPWS R11; C. W. Davies, 1962, see the functions used.
    """
    activity = 10.0**-ph
    one = davies(1, temperature_c, ionic_strength_mol_l)
    two = davies(2, temperature_c, ionic_strength_mol_l)
    h, oh = activity / one, water_ion_product(temperature_c) / (activity * one)
    first = 10.0 ** log_k1(temperature_c) / (activity * one)
    second = 10.0 ** (log_k1(temperature_c) + log_k2(temperature_c)) / (activity**2 * two)
    carbonate_meq_l = np.maximum(alkalinity_meq_l + (h - oh) * 1000.0, 0.0)
    co2 = carbonate_meq_l / (first + 2.0 * second)
    return CarbonateSpecies(co2, first * co2, second * co2, h * 1000.0, oh * 1000.0)


def carbon_dioxide_mmol_l(
    alkalinity_meq_l: "Numeric",
    ph: "Numeric",
    temperature_c: "Numeric",
    ionic_strength_mol_l: "Numeric",
) -> "Numeric":
    """Dissolved carbon dioxide of a water from its alkalinity and pH.

    CO2 = (alkalinity + H - OH) / (K1/(a g1) + 2 K1 K2/(a^2 g2)), a = 10^-pH

    Parameters
    ----------
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].
    ph : float or array
        pH at the temperature of the water [1].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    ionic_strength_mol_l : float or array
        Ionic strength, up to 0.5 [mol/L].

    Returns
    -------
    carbon_dioxide_mmol_l : float or array
        Dissolved carbon dioxide [mmol/L].

    Notes
    -----
    See :func:`carbonate_species`.

    Examples
    --------
    >>> print(carbon_dioxide_mmol_l(5.0, 7.352, 25.0, 0.0))
    0.499

    References
    ----------
    L. N. Plummer, E. Busenberg, 1982; IAPWS R11; C. W. Davies, 1962, see the functions used.
    """
    return carbonate_species(alkalinity_meq_l, ph, temperature_c, ionic_strength_mol_l).co2


def total_carbon_mmol_l(
    alkalinity_meq_l: "Numeric",
    ph: "Numeric",
    temperature_c: "Numeric",
    ionic_strength_mol_l: "Numeric",
) -> "Numeric":
    """Total inorganic carbon of a water from its alkalinity and pH.

    C = CO2 + HCO3 + CO3

    Parameters
    ----------
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].
    ph : float or array
        pH at the temperature of the water [1].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    ionic_strength_mol_l : float or array
        Ionic strength, up to 0.5 [mol/L].

    Returns
    -------
    total_carbon_mmol_l : float or array
        Total inorganic carbon [mmol/L].

    Notes
    -----
    See :func:`carbonate_species`.

    Examples
    --------
    >>> print(total_carbon_mmol_l(5.0, 7.352, 25.0, 0.0))
    5.50

    References
    ----------
    L. N. Plummer, E. Busenberg, 1982; IAPWS R11; C. W. Davies, 1962, see the functions used.
    """
    species = carbonate_species(alkalinity_meq_l, ph, temperature_c, ionic_strength_mol_l)
    return species.total_carbon


def ph_from_carbon_dioxide(
    alkalinity_meq_l: "Numeric",
    carbon_dioxide_mmol_l: "Numeric",
    temperature_c: "Numeric",
    ionic_strength_mol_l: "Numeric",
) -> "Numeric":
    """The pH of a water whose alkalinity and dissolved carbon dioxide are known.

    The pH at which :func:`carbonate_species` gives that carbon dioxide, by halving an interval.

    Parameters
    ----------
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].
    carbon_dioxide_mmol_l : float or array
        Dissolved carbon dioxide, more than none [mmol/L].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    ionic_strength_mol_l : float or array
        Ionic strength, up to 0.5 [mol/L].

    Returns
    -------
    ph : float or array
        pH at the temperature of the water [1].

    Notes
    -----
    Carbon dioxide falls as pH rises. Without any, the answer is the upper end, pH 13.5.

    References
    ----------
    See :func:`carbonate_species`.
    """
    shape = np.broadcast(alkalinity_meq_l, carbon_dioxide_mmol_l, temperature_c).shape
    low = np.full(shape, _PH_LOW)
    high = low + (_PH_HIGH - _PH_LOW)
    for _ in range(_PH_ROUNDS):
        middle = (low + high) / 2.0
        species = carbonate_species(alkalinity_meq_l, middle, temperature_c, ionic_strength_mol_l)
        above = species.co2 > carbon_dioxide_mmol_l
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    ph: Numeric = ((low + high) / 2.0)[()]
    return ph


@dataclass(frozen=True, slots=True)
class AirWater:
    """Pure water in equilibrium with air.

    Parameters
    ----------
    ph : float or array
        pH [1].
    conductivity_us_cm : float or array
        Conductivity as it is at the water's temperature [uS/cm].
    carbon_dioxide_mmol_l, hydrogen_carbonate_mmol_l : float or array
        Dissolved carbon dioxide and hydrogen carbonate [mmol/L].
    """

    ph: "Numeric"
    conductivity_us_cm: "Numeric"
    carbon_dioxide_mmol_l: "Numeric"
    hydrogen_carbonate_mmol_l: "Numeric"


def open_to_air(temperature_c: "Numeric", co2_ppm: "Numeric") -> AirWater:
    """Pure water that has taken up the carbon dioxide of the air above it.

    a^2 = Kw + K1 KH p (1 + 2 K2 g1/(a g2)); kappa = lambda_H H + lambda_OH OH + lambda_HCO3 HCO3

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    co2_ppm : float or array
        Carbon dioxide in the air, 420 outdoors, 1000 in a hall in use [ppm].

    Returns
    -------
    AirWater
        pH [1] and conductivity at the water's temperature [uS/cm].

    Notes
    -----
    At a total pressure of one atmosphere; limiting conductances, activity coefficients by Davies.
    Carbonate ion is left out of the conductivity: it adds less than 0.01 %.

    Examples
    --------
    >>> air = open_to_air(25.0, 420.0)
    >>> print(air.ph, air.conductivity_us_cm)
    5.60 0.995

    References
    ----------
    L. N. Plummer, E. Busenberg, 1982; IAPWS R11; conductances of R. B. McCleskey and others, 2012.
    """
    co2 = 10.0 ** log_henry(temperature_c) * co2_ppm * 1e-6
    carbonic = 10.0 ** log_k1(temperature_c) * co2
    product = water_ion_product(temperature_c)
    second = 10.0 ** log_k2(temperature_c)
    activity: Numeric = np.sqrt(product + carbonic)
    one: Numeric = 1.0
    for _ in range(_AIR_ROUNDS):
        strength = activity / one
        one, two = davies(1, temperature_c, strength), davies(2, temperature_c, strength)
        activity = np.sqrt(product + carbonic * (1.0 + 2.0 * second * one / (activity * two)))
    h, oh, hco3 = activity / one, product / (activity * one), carbonic / (activity * one)
    conductivity = 1000.0 * (
        limiting_conductance("H", temperature_c) * h
        + limiting_conductance("OH", temperature_c) * oh
        + limiting_conductance("HCO3", temperature_c) * hco3
    )
    return AirWater(-np.log10(activity), conductivity, co2 * 1000.0, hco3 * 1000.0)
