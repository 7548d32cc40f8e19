"""Limits at the tank by water temperature: what paper and phone carry to the tap."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from waterkit.water.carbonate import open_to_air
from waterkit.water.conductivity import dilute_at_temperature
from waterkit.water.limits import Limit, Use

CARD_TEMPERATURES_C = (0.0, 2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 20.0, 25.0)


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One water temperature: what air alone does, and the limits of each use, all as they are.

    Parameters
    ----------
    temperature_c : float
        Temperature of the water [degC].
    air_us_cm : float
        Conductivity of pure water open to the hall's air at that temperature [uS/cm].
    good_us_cm, act_us_cm : mapping of use to float
        The limits at 25 degC, turned into what the same water conducts at that temperature [uS/cm].
    """

    temperature_c: float
    air_us_cm: float
    good_us_cm: Mapping[Use, float]
    act_us_cm: Mapping[Use, float]


def limit_table(
    limits: Mapping[Use, Limit],
    air_co2_ppm: float,
    temperatures_c: Iterable[float] = CARD_TEMPERATURES_C,
) -> tuple[LimitRow, ...]:
    """The limits of every use at each water temperature, without a meter's compensation.

    The limits hold at 25 degC; colder water with the same salt conducts less.

    Parameters
    ----------
    limits : mapping of use to Limit
        Limits at 25 degC [uS/cm].
    air_co2_ppm : float
        Carbon dioxide in the air of the hall [ppm].
    temperatures_c : iterable of float
        Water temperatures of the rows [degC].

    Returns
    -------
    tuple of LimitRow
        One row for each temperature, in the order given.
    """
    return tuple(
        LimitRow(
            celsius,
            float(open_to_air(celsius, air_co2_ppm).conductivity_us_cm),
            {use: float(dilute_at_temperature(limits[use].good_us_cm, celsius)) for use in limits},
            {use: float(dilute_at_temperature(limits[use].act_us_cm, celsius)) for use in limits},
        )
        for celsius in temperatures_c
    )
