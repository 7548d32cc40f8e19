"""How far the white has come once a batch is sprayed: sums mixed so far, coats and area done."""

from collections.abc import Sequence
from dataclasses import dataclass

from waterkit.ice.batches import Batch
from waterkit.ice.paint import White

ROUNDING_L = 0.001
"""Batches are whole millilitres: so little of a coat neither begins nor ends one."""


@dataclass(frozen=True, slots=True)
class Progress:
    """Where the white stands when the pump has emptied a batch.

    Parameters
    ----------
    powder_kg, water_l, mix_l : float
        Sums of this batch and all before it [kg, L].
    first_coat : int
        The coat on which this batch begins.
    coats : int
        Coats that are done, all of the area.
    area_m2 : float
        Area done of the coat after them [m2].
    """

    powder_kg: float
    water_l: float
    mix_l: float
    first_coat: int
    coats: int
    area_m2: float

    @property
    def last_coat(self) -> int:
        """The coat on which this batch ends."""
        return self.coats + (1 if self.area_m2 > 0 else 0)


def progress(white: White, batches: Sequence[Batch], area_m2: float) -> tuple[Progress, ...]:
    """Sums, coats and area after each batch.

    done = (mix so far - heel) / (litres per coat x (1 + loss / 100)), in areas of one coat

    Parameters
    ----------
    white : White
        Coats, litres of a coat, loss and heel.
    batches : sequence of Batch
        The batches in their order.
    area_m2 : float
        Area to paint, above 0 [m2].

    Returns
    -------
    tuple of Progress
        One for each batch.

    Notes
    -----
    The heel stays in the tank after each batch; the last batch ends with the last coat.

    References
    ----------
    Volume balance.
    """
    coat_l = area_m2 * white.per_coat_l_m2 * (1.0 + white.loss_percent / 100.0)
    powder = water = mix = 0.0
    done, found = (0, 0.0), []
    for batch in batches:
        powder, water, mix = powder + batch.powder_kg, water + batch.water_l, mix + batch.mix_l
        first = min(done[0] + 1, white.coats)
        sprayed = max(mix - white.heel_l, 0.0)
        done = (white.coats, 0.0) if batch is batches[-1] else _coats(sprayed, coat_l, white.coats)
        found.append(Progress(powder, water, mix, first, done[0], done[1] * area_m2))
    return tuple(found)


def _coats(sprayed_l: float, coat_l: float, most: int) -> tuple[int, float]:
    """Whole coats of so much mix, and the share of the next one."""
    whole = int((sprayed_l + ROUNDING_L) / coat_l)
    if whole >= most:
        return most, 0.0
    share = (sprayed_l - whole * coat_l) / coat_l
    return whole, share if share * coat_l > ROUNDING_L else 0.0
