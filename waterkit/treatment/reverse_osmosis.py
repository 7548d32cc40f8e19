"""Reverse osmosis: a membrane that holds ions back, and the water it sends to the drain."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from waterkit.errors import FieldError
from waterkit.quantities import FLOW, PERCENT, TEMPERATURE

COMMON_REJECTION_PERCENT: Mapping[str, float] = {
    "Ca": 97.0, "Mg": 97.0, "Na": 95.0, "K": 92.0, "NH4": 90.0, "Fe": 98.0,
    "Cl": 94.5, "HCO3": 95.5, "SO4": 99.0, "NO3": 94.5, "F": 95.0, "SiO2": 87.5,
}  # fmt: skip
"""Middle of what thin-film membranes hold back as the trade gives it: averages that nobody
guarantees. Carbon dioxide passes."""


@dataclass(frozen=True, slots=True)
class ReverseOsmosis:
    """A reverse osmosis unit; either its concentrate flow or its recovery is told.

    Parameters
    ----------
    output_l_h : float
        Permeate that it makes at the temperature it is rated at [L/h].
    rated_at_c : float
        Temperature for which its output is told [degC].
    temperature_factor : float
        K in exp(K (1/298.15 - 1/T)), how fast the output falls in the cold, in kelvin; the data
        sheet of the membrane. The default is a value from memory.
    concentrate_flow_l_h : float or None
        Water that a fixed orifice sends to the drain [L/h].
    recovery_percent : float or None
        Share of the feed that becomes permeate [%].
    rejection_percent : mapping of analyte to float
        Share of each ion that is held back; an ion left out takes the common share [%].
    """

    kind: Literal["reverse osmosis"]
    output_l_h: Annotated[float, FLOW] = 150.0
    rated_at_c: Annotated[float, TEMPERATURE] = 25.0
    temperature_factor: float = 2640.0
    concentrate_flow_l_h: Annotated[float, FLOW] | None = None
    recovery_percent: Annotated[float, PERCENT] | None = None
    rejection_percent: Mapping[str, Annotated[float, PERCENT]] = field(
        default_factory=lambda: COMMON_REJECTION_PERCENT
    )


def check_reverse_osmosis(unit: ReverseOsmosis) -> None:
    """Refuse a unit whose figures contradict each other.

    Raises
    ------
    FieldError
        If concentrate flow and recovery are both told, or it makes no water.
    """
    if unit.concentrate_flow_l_h is not None and unit.recovery_percent is not None:
        hint = "leave one of them out; the recovery follows from a fixed concentrate flow"
        raise FieldError("concentrate_flow and recovery are both told", hint, "recovery")
    if unit.output_l_h <= 0:
        raise FieldError("it makes no water", "write the permeate flow of its papers", "output")
