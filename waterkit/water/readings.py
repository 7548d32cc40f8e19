"""What a club writes down at the tap: meter readings by the column, and other checks."""

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

from waterkit.quantities import CONDUCTIVITY, TEMPERATURE, VOLUME
from waterkit.water.limits import Use
from waterkit.water.meter import Compensation

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ReadingPoint = Literal[
    "feed", "softened", "permeate", "lead outlet", "DI outlet", "tank", "hose end", "standard"
]


@dataclass(frozen=True, slots=True)
class Reading:
    """One row of readings.csv: a meter held into the water at a point.

    Parameters
    ----------
    time : datetime
        When, with its offset.
    point : str
        Where.
    conductivity_us_cm : float
        What the meter showed [uS/cm].
    temperature_c : float or None
        Temperature of the water [degC].
    meter : str
        Name of the meter, as in club.toml.
    compensation : str or None
        How the meter corrected, where it differs from what club.toml says of it.
    reference_c : float or None
        To which temperature it corrected [degC].
    treated_total_l : float or None
        The water meter behind the resin [L].
    use, vessel, by, note : str
        What the water was for, the vessel in the lead, who read, anything else.
    """

    time: dt.datetime
    point: ReadingPoint
    conductivity_us_cm: Annotated[float, CONDUCTIVITY]
    temperature_c: Annotated[float, TEMPERATURE] | None = None
    meter: str = ""
    compensation: Compensation | None = None
    reference_c: Annotated[float, TEMPERATURE] | None = None
    treated_total_l: Annotated[float, VOLUME] | None = None
    use: Use | None = None
    vessel: str = ""
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Readings:
    """All readings of a club, one array a column, in the order of the file.

    ``time`` holds UTC as datetime64 in whole seconds. Numbers not written are NaN; words are Python
    strings in object arrays (one long note does not make a million rows long), empty where not
    written.
    """

    time: "NDArray[np.datetime64]"
    point: "NDArray[np.object_]"
    conductivity_us_cm: "NDArray[np.float64]"
    temperature_c: "NDArray[np.float64]"
    meter: "NDArray[np.object_]"
    compensation: "NDArray[np.object_]"
    reference_c: "NDArray[np.float64]"
    treated_total_l: "NDArray[np.float64]"
    use: "NDArray[np.object_]"
    vessel: "NDArray[np.object_]"
    by: "NDArray[np.object_]"
    note: "NDArray[np.object_]"

    def __len__(self) -> int:
        return len(self.time)


@dataclass(frozen=True, slots=True)
class SpotCheck:
    """One row of checks.csv: anything else that was looked at, value and unit as written."""

    date: dt.date
    what: Literal[
        "hardness", "chlorine", "silica", "iron", "pressure", "permeate flow", "slab temperature",
        "ice thickness",
    ]  # fmt: skip
    value: float
    unit: str
    place: str = ""
    by: str = ""
