"""The price of treated water, to charge events with: by what is used, not by whole packs."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from waterkit.ice.pebble import PebbleRules, drawn_litres, pebble_litres
from waterkit.purchasing.needs import SeasonFacts, bonspiels
from waterkit.purchasing.orders import OrderLine
from waterkit.purchasing.packs import cheapest
from waterkit.purchasing.records import Driver, Offer

WATER_DRIVERS: tuple[Driver, ...] = (
    "vessel fill", "delivery", "month of rent", "m3 feed", "m3 DI", "m3 reject", "kg salt",
)  # fmt: skip
"""Drivers whose items are the price of treated water."""


@dataclass(frozen=True, slots=True)
class WaterPrice:
    """What treated water comes to, without tax and suppliers' delivery charges.

    ``unpriced`` names what belongs to it but has no open offer; ``draw`` and ``bonspiel`` are the
    pebble water of a mean draw and of a mean bonspiel.
    """

    litre: Decimal | None
    draw: Decimal | None
    bonspiel: Decimal | None
    counted: tuple[str, ...]
    unpriced: tuple[str, ...]


def water_price(
    lines: Sequence[OrderLine],
    offers: Sequence[Offer],
    facts: SeasonFacts,
    rules: PebbleRules,
    as_of: dt.date,
) -> WaterPrice:
    """The season's water items at the best open offer, shared over the water made."""
    spent, counted, unpriced = Decimal(0), [], []
    for line in lines:
        item, needed = line.need.item, line.need.needed
        if item.driver not in WATER_DRIVERS or needed <= 0:
            continue
        own_offers = [offer for offer in offers if offer.item == item.item]
        choice = line.choice or cheapest(needed, item.unit, own_offers, as_of)
        if choice is None:
            unpriced.append(item.item)
            continue
        spent += choice.cost * Decimal(needed / choice.quantity)
        counted.append(item.item)
    made = float(facts.supply.litres_di[0])
    litre = spent / Decimal(made) if counted and made else None
    return WaterPrice(
        litre,
        _share(litre, _pebble_of_a_draw_l(facts, rules)),
        _share(litre, _pebble_of_a_bonspiel_l(facts, rules)),
        tuple(counted),
        tuple(unpriced),
    )


def _share(litre: Decimal | None, litres: float | None) -> Decimal | None:
    return None if litre is None or litres is None else litre * Decimal(litres)


def _pebble_of_a_draw_l(facts: SeasonFacts, rules: PebbleRules) -> float | None:
    draws = sum(day.draws for day in facts.ice_days)
    on_ice = sum(day.pebble_l for day in facts.ice_days)
    return float(drawn_litres(on_ice, rules)) / draws if draws else None


def _pebble_of_a_bonspiel_l(facts: SeasonFacts, rules: PebbleRules) -> float | None:
    plays = [play for play in facts.plays if play.kind == "bonspiel"]
    on_ice = sum(float(pebble_litres(p.draws, p.sheets, "bonspiel", rules)) for p in plays)
    events = len(bonspiels(plays))
    return float(drawn_litres(on_ice, rules)) / events if events else None
