"""The processes that water meets on its way, as a club describes them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

from waterkit.quantities import FLOW, PERCENT, PPM_CO2, VOLUME
from waterkit.treatment.carbon import Carbon
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener


@dataclass(frozen=True, slots=True)
class Filter:
    """A sediment filter; ``rating`` is its pore size as the label says it."""

    kind: Literal["filter"]
    rating: str = ""


@dataclass(frozen=True, slots=True)
class Deioniser:
    """Mixed-bed vessels in series; ``positions`` in the order the water runs, and the flow."""

    kind: Literal["di"]
    positions: tuple[Literal["lead", "lag", "single"], ...] = ("single",)
    flow_l_h: Annotated[float, FLOW] | None = None


@dataclass(frozen=True, slots=True)
class Tank:
    """A storage tank.

    ``heel`` cannot be pumped; ``reserve`` is the share of one sheet's flood that must be in the
    tank before a flood begins; ``open`` tells whether air reaches the water.
    """

    kind: Literal["tank"]
    volume_l: Annotated[float, VOLUME] = 1000.0
    heel_l: Annotated[float, VOLUME] = 30.0
    reserve_percent: Annotated[float, PERCENT] = 7.0
    open_: bool = True
    air_co2_ppm: Annotated[float, PPM_CO2] = 1000.0


@dataclass(frozen=True, slots=True)
class BoughtIn:
    """Water that comes by truck or in containers, in place of all that stands before it.

    Parameters
    ----------
    sample : str
        Name of the sample in water-tests.csv that tells what is in it.
    delivery_l : float
        What one delivery brings [L].
    """

    kind: Literal["bought in"]
    sample: str
    delivery_l: Annotated[float, VOLUME] = 1000.0


Process = Filter | Carbon | Softener | ReverseOsmosis | Deioniser | Tank | BoughtIn


def last_tank(train: Sequence[Process]) -> Tank:
    """The tank that the ice is made from: the last of the train, else a common one."""
    tanks = [process for process in train if isinstance(process, Tank)]
    return tanks[-1] if tanks else Tank("tank")


def positions(train: Sequence[Process]) -> tuple[Literal["lead", "lag", "single"], ...]:
    """The positions of the train's deionisers, in the order the water runs."""
    return tuple(
        place for process in train if isinstance(process, Deioniser) for place in process.positions
    )
