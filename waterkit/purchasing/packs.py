"""Whole packs: the cheapest offer for a quantity."""

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from waterkit.purchasing.records import Offer
from waterkit.units import convert

CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Choice:
    """Whole packs of one offer: their content in the item's unit, and their price without tax."""

    offer: Offer
    pack_size: float
    packs: int
    cost: Decimal

    @property
    def quantity(self) -> float:
        """What all packs hold, in the item's unit."""
        return self.packs * self.pack_size


def whole_packs(quantity: float, pack_size: float, from_packs: int = 1) -> int:
    """The least number of packs that hold a quantity, and at least ``from_packs`` if any.

    Raises
    ------
    ValueError
        If ``pack_size`` is not above zero.
    """
    if pack_size <= 0:
        raise ValueError(f"pack_size: {pack_size} holds nothing")
    if quantity <= 0:
        return 0
    return max(math.ceil(quantity / pack_size - 1e-9), from_packs)


def cheapest(quantity: float, unit: str, offers: Iterable[Offer], on: dt.date) -> Choice | None:
    """The offer that gives a quantity for the least money on a day; None where none is open.

    Equal prices are told apart by what is left over, then by the supplier's name.
    """
    choices = [_choice(quantity, unit, offer) for offer in offers if _open(offer, on)]
    return min(
        choices,
        key=lambda choice: (choice.cost, choice.quantity, choice.offer.supplier),
        default=None,
    )


def _open(offer: Offer, on: dt.date) -> bool:
    return offer.valid_until is None or on <= offer.valid_until


def _choice(quantity: float, unit: str, offer: Offer) -> Choice:
    size = in_unit(offer.pack_size, offer.unit, unit)
    packs = whole_packs(quantity, size, offer.from_packs)
    return Choice(offer, size, packs, (offer.price * packs).quantize(CENT))


def in_unit(quantity: float, unit: str, wanted: str) -> float:
    """A quantity in its item's unit; names that are no unit (``pair``) must agree."""
    return quantity if unit == wanted else float(convert(quantity, unit, wanted))
