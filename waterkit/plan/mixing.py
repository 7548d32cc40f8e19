"""What is really mixed: whole bags where that costs little, else what is weighed; and its jug."""

from dataclasses import dataclass, replace

from waterkit.ice.batches import Batch, WholeBags
from waterkit.ice.checking import JugTest, jug_test
from waterkit.ice.paint import White
from waterkit.plan.season import SeasonPlan


@dataclass(frozen=True, slots=True)
class Mixing:
    """The batches that the cards tell, and what checks them.

    Parameters
    ----------
    white : White
        The white at the ratio of these batches.
    batches : tuple of Batch
        In the order of mixing.
    whole : WholeBags or None
        The offer without weighing, where the batches are its own.
    jug : JugTest or None
        What the same jug shows with water and with mix; None without jug or scale.
    """

    white: White
    batches: tuple[Batch, ...]
    whole: WholeBags | None
    jug: JugTest | None

    @property
    def powder_kg(self) -> float:
        """Powder of all batches [kg]."""
        return sum(batch.powder_kg for batch in self.batches)

    @property
    def water_l(self) -> float:
        """Water of all batches [L]."""
        return sum(batch.water_l for batch in self.batches)


def mixing(plan: SeasonPlan) -> Mixing | None:
    """What the cards tell to mix; None where no white is to come."""
    if plan.paint is None or plan.painting is None:
        return None
    white, whole = plan.club.white, plan.paint.in_whole_bags
    if whole is not None and not whole.costs_little:
        whole = None
    if whole is not None:
        white = replace(white, ratio=whole.ratio)
    jug = jug_test(white, plan.painting.water_c) if white.jug_l and white.scale_g else None
    return Mixing(white, whole.batches if whole else plan.paint.batches, whole, jug)
