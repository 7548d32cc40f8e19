"""What water each use on the ice asks for.

Every figure here is common practice, no source: a club sets its own in ``[limits]`` of club.toml.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from waterkit.quantities import CONDUCTIVITY, MASS_CONCENTRATION

Use = Literal["mist", "flood", "white", "seal", "pebble"]
USES: tuple[Use, ...] = ("mist", "flood", "white", "seal", "pebble")


@dataclass(frozen=True, slots=True)
class Limit:
    """Water for one use: ``good`` may be used, above ``act`` it may not (both at 25 degC).

    Parameters
    ----------
    good_us_cm, act_us_cm : float
        Conductivity at 25 degC [uS/cm].
    solids_mg_l : float or None
        Dissolved solids with silica at most [mg/L].
    hardness_mg_l : float or None
        Hardness as CaCO3 at most [mg/L].
    """

    good_us_cm: Annotated[float, CONDUCTIVITY]
    act_us_cm: Annotated[float, CONDUCTIVITY]
    solids_mg_l: Annotated[float, MASS_CONCENTRATION] | None = None
    hardness_mg_l: Annotated[float, MASS_CONCENTRATION] | None = None


COMMON_LIMITS: dict[Use, Limit] = {
    "mist": Limit(10.0, 20.0, 10.0, 2.0),
    "flood": Limit(10.0, 20.0, 10.0, 2.0),
    "white": Limit(20.0, 20.0, 15.0, 5.0),
    "seal": Limit(10.0, 20.0, 15.0, 5.0),
    "pebble": Limit(5.0, 10.0, 5.0, 1.0),
}


def strictest(limits: Mapping[Use, Limit]) -> Use:
    """The use that asks for the purest water."""
    return min(limits, key=lambda use: (limits[use].good_us_cm, limits[use].act_us_cm))
