"""What stands in for a train and vessels that a club has not written down yet.

Common practice, no source: two exchanged vessels of mixed resin behind each other, then a tank.
"""

from collections.abc import Sequence

from waterkit.treatment.ion_exchange import REGENERATED_EQ_L, Vessel
from waterkit.treatment.train import Deioniser, Process, Tank, positions

COMMON_TRAIN: tuple[Process, ...] = (Deioniser("di", ("lead", "lag")), Tank("tank"))
COMMON_RESIN_L = 57.0


def common_vessels(train: Sequence[Process]) -> tuple[Vessel, ...]:
    """A vessel of common size in each position of the train's deionisers; none without them."""
    return tuple(
        Vessel(
            f"assumed {position}",
            position,
            COMMON_RESIN_L,
            rated_eq_l=REGENERATED_EQ_L,
            rated_on="total anions with CO2 and silica",
        )
        for position in positions(train)
    )
