"""What a conductivity meter shows."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

import numpy as np

from waterkit.quantities import CONDUCTIVITY, NUMBER, SLOPE, TEMPERATURE
from waterkit.water.conductivity import dilute_at_25, dilute_at_temperature
from waterkit.working import Source

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

ISO_7888 = Source(
    "iso-7888",
    "ISO 7888:1985, Water quality, determination of electrical conductivity: factors f25 of "
    "natural waters (the table as two instrument manuals reproduce it alike)",
)

# Factor from the conductivity of natural water at 0, 1, 2 ... 35 degC to the one at 25 degC.
_NATURAL_WATER = (
    1.918, 1.857, 1.800, 1.745, 1.693, 1.643, 1.596, 1.551, 1.508, 1.467, 1.428, 1.390,
    1.354, 1.320, 1.287, 1.256, 1.225, 1.196, 1.168, 1.141, 1.116, 1.091, 1.067, 1.044,
    1.021, 1.000, 0.979, 0.959, 0.940, 0.921, 0.903, 0.886, 0.869, 0.853, 0.837, 0.822,
)  # fmt: skip

Compensation = Literal["none", "linear", "natural water", "pure water"]


@dataclass(frozen=True, slots=True)
class Meter:
    """One meter of the club.

    ``factor`` is the ppm that it shows for 1 uS/cm, for a meter that shows dissolved solids.
    """

    name: str
    compensation: Compensation = "linear"
    coefficient_percent_per_c: Annotated[float, SLOPE] = 2.0
    reference_c: Annotated[float, TEMPERATURE] = 25.0
    resolution_us_cm: Annotated[float, CONDUCTIVITY] = 0.1
    factor: Annotated[float, NUMBER] | None = None
    standard_us_cm: Annotated[float, CONDUCTIVITY] | None = None
    opened: dt.date | None = None


def natural_water_factor(temperature_c: "Numeric") -> "Numeric":
    """How much better natural water conducts at 25 degC than at its own temperature.

    The table of ISO 7888 for whole degrees, a straight line between them.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the water, 0 to 35 [degC].

    Returns
    -------
    factor : float or array
        Factor from the conductivity at that temperature to the one at 25 degC [1].

    Notes
    -----
    For natural water of 60 to 1000 uS/cm, not for treated water. Outside 0 to 35 degC the table
    says nothing and the answer is not a number (nan).

    Examples
    --------
    >>> print(natural_water_factor(20.0))
    1.116

    References
    ----------
    ISO 7888:1985, Water quality, determination of electrical conductivity.
    """
    degrees = np.arange(len(_NATURAL_WATER), dtype=float)
    return np.interp(temperature_c, degrees, _NATURAL_WATER, left=np.nan, right=np.nan)


def shown_us_cm(actual_us_cm: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    """What a meter shows for water that conducts ``actual_us_cm`` at its own temperature.

    none: kappa; linear: kappa / (1 + alpha (t - ref)); natural water: kappa f(t) / f(ref);
    pure water: what pure water with NaCl of that kappa would conduct at the reference

    Parameters
    ----------
    actual_us_cm : float or array
        Conductivity as it is at the water's temperature [uS/cm].
    temperature_c : float or array
        Temperature of the water, 0 to 60; with natural water 0 to 35 [degC].
    meter : Meter
        The meter: its compensation, coefficient and reference temperature.

    Returns
    -------
    shown_us_cm : float or array
        Conductivity that the meter shows, before it rounds [uS/cm].

    Notes
    -----
    The natural-water table is made for 60 to 1000 uS/cm: a meter that uses it on treated water
    shows what this says, and that is not the water's conductivity at 25 degC. Outside 0 to 35 degC
    that table gives nan.

    Examples
    --------
    >>> print(shown_us_cm(0.794, 5.0, Meter("pocket")))
    1.32

    References
    ----------
    ISO 7888:1985 (linear and natural water); pure water: see
    :func:`waterkit.water.conductivity.dilute_at_25`.
    """
    return _SHOWN[meter.compensation](actual_us_cm, temperature_c, meter)


def _linear(actual: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    slope = meter.coefficient_percent_per_c / 100.0
    return actual / (1.0 + slope * (temperature_c - meter.reference_c))


def _natural_water(actual: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    at_reference = natural_water_factor(meter.reference_c)
    return actual * natural_water_factor(temperature_c) / at_reference


def _pure_water(actual: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    return dilute_at_temperature(dilute_at_25(actual, temperature_c), meter.reference_c)


_SHOWN: "dict[Compensation, Callable[[Numeric, Numeric, Meter], Numeric]]" = {
    "none": lambda actual, _temperature_c, _meter: actual,
    "linear": _linear,
    "natural water": _natural_water,
    "pure water": _pure_water,
}


def actual_us_cm(shown_us_cm: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    """What water conducts at its own temperature, from what a meter shows.

    The inverse of :func:`shown_us_cm`.

    none: shown; linear: shown (1 + alpha (t - ref)); natural water: shown f(ref) / f(t);
    pure water: shown at the reference, cooled as pure water with NaCl

    Parameters
    ----------
    shown_us_cm : float or array
        Conductivity that the meter shows; of one that shows ppm see :func:`us_cm_of_ppm` [uS/cm].
    temperature_c : float or array
        Temperature of the water, 0 to 60; with natural water 0 to 35 [degC].
    meter : Meter
        The meter: its compensation, coefficient and reference temperature.

    Returns
    -------
    actual_us_cm : float or array
        Conductivity as it is at the water's temperature [uS/cm].

    Notes
    -----
    See :func:`shown_us_cm`.

    Examples
    --------
    >>> print(actual_us_cm(1.32, 5.0, Meter("pocket")))
    0.79

    References
    ----------
    See :func:`shown_us_cm`.
    """
    return _ACTUAL[meter.compensation](shown_us_cm, temperature_c, meter)


def shown_ppm(actual_us_cm: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    """What a meter for dissolved solids shows: its conductivity times its factor.

    ppm = factor x shown conductivity

    Parameters
    ----------
    actual_us_cm : float or array
        Conductivity as it is at the water's temperature [uS/cm].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    meter : Meter
        The meter, with its factor.

    Returns
    -------
    shown_mg_l : float or array
        What it shows as ppm, which it means as mg/L; not a number for a meter without a factor
        [mg/L].

    Notes
    -----
    The factor is set in the meter, 0.5 for NaCl, some 0.65 to 0.7 for natural water: the display is
    a conductivity in disguise, not a weighed residue.

    Examples
    --------
    >>> print(shown_ppm(100.0, 25.0, Meter("pocket", factor=0.5)))
    50.0

    References
    ----------
    Common practice, no source.
    """
    factor = np.nan if meter.factor is None else meter.factor
    return factor * shown_us_cm(actual_us_cm, temperature_c, meter)


def us_cm_of_ppm(shown_mg_l: "Numeric", meter: Meter) -> "Numeric":
    """The conductivity behind the ppm that a meter for dissolved solids shows.

    conductivity = ppm / factor

    Parameters
    ----------
    shown_mg_l : float or array
        What it shows as ppm [mg/L].
    meter : Meter
        The meter, with its factor.

    Returns
    -------
    shown_us_cm : float or array
        What it would show as conductivity; not a number for a meter without a factor [uS/cm].

    Examples
    --------
    >>> print(us_cm_of_ppm(50.0, Meter("pocket", factor=0.5)))
    100.0

    References
    ----------
    Common practice, no source.
    """
    return shown_mg_l / (np.nan if meter.factor is None else meter.factor)


def _from_linear(shown: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    slope = meter.coefficient_percent_per_c / 100.0
    return shown * (1.0 + slope * (temperature_c - meter.reference_c))


def _from_natural_water(shown: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    return shown * natural_water_factor(meter.reference_c) / natural_water_factor(temperature_c)


def _from_pure_water(shown: "Numeric", temperature_c: "Numeric", meter: Meter) -> "Numeric":
    return dilute_at_temperature(dilute_at_25(shown, meter.reference_c), temperature_c)


_ACTUAL: "dict[Compensation, Callable[[Numeric, Numeric, Meter], Numeric]]" = {
    "none": lambda shown, _temperature_c, _meter: shown,
    "linear": _from_linear,
    "natural water": _from_natural_water,
    "pure water": _from_pure_water,
}
