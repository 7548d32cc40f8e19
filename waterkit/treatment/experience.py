"""What a club has seen of its vessels: the changes it wrote down."""

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, Literal

from waterkit.quantities import CONDUCTIVITY, VOLUME


@dataclass(frozen=True, slots=True)
class VesselChange:
    """One row of changeouts.csv: a vessel taken out of a position and one put in.

    ``last_reading_us_cm`` is what the outlet showed at the end [uS/cm], ``treated_total_l`` what
    the water meter behind the resin showed [L].
    """

    date: dt.date
    position: Literal["lead", "lag", "single"]
    vessel_out: str
    vessel_in: str
    reason: Literal[
        "at limit", "by litres", "by calendar", "before an event", "damaged", "end of season"
    ] = "by litres"
    last_reading_us_cm: Annotated[float, CONDUCTIVITY] | None = None
    treated_total_l: Annotated[float, VOLUME] | None = None
