"""Carbon dioxide, alkalinity and pH: the carbonate of a water by hand, and pure water under air."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.conductance import conductivity_us_cm
from waterkit.water.equilibria import davies, log_henry, log_k1, log_k2, water_ion_product
from waterkit.water.speciation import speciate

if TYPE_CHECKING:
    from waterkit.quantities import Numeric


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
    No ion pairs, so that it can be followed by hand: in hard water carbon dioxide comes out some
    5 % high. Everything else here reckons with :func:`waterkit.water.speciation.speciate`. Where
    alkalinity is smaller than OH - H, which pH and alkalinity of a real water
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

    CO2 = KH p; H = OH + HCO3 + 2 CO3; kappa = sum of lambda c

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
    At a total pressure of one atmosphere. For a water with salts see
    :func:`waterkit.water.composition.at_air`.

    Examples
    --------
    >>> air = open_to_air(25.0, 420.0)
    >>> print(air.ph, air.conductivity_us_cm)
    5.60 0.995

    References
    ----------
    L. N. Plummer, E. Busenberg, 1982; IAPWS R11; conductances of R. B. McCleskey and others, 2012.
    """
    celsius: Numeric = np.add(temperature_c, 0.0 * np.asarray(co2_ppm))[()]
    co2 = 1000.0 * 10.0 ** log_henry(celsius) * co2_ppm * 1e-6
    found = speciate({}, 0.0, celsius, carbon_dioxide_mmol_l=co2)
    conductivity = conductivity_us_cm(found)
    return AirWater(found.ph, conductivity, found.co2_mmol_l, found.mmol_l["HCO3"])
