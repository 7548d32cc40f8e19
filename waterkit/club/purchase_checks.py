"""What must hold between items, suppliers, offers, stock and orders."""

import datetime as dt
from typing import Any

from waterkit.club.draft import Draft, Found, twice
from waterkit.club.fields import did_you_mean
from waterkit.club.ice_checks import same_rows
from waterkit.club.tables import Row, Table
from waterkit.purchasing.records import Item, Offer, StockLot
from waterkit.units import SPELLINGS, UnitError, check_spelling, same_kind

NEVER = dt.date.max


def check_items(draft: Draft) -> Found:
    """An item stands once, somebody sells it, and what it is needed before is in the plan."""
    table, offers = draft.items, draft.offers
    yield from twice(table, "item")
    for row in table.rows:
        yield from _plain_unit(table, row)
        before = row.record.need_before
        if isinstance(before, str) and draft.layers.names and before not in draft.layers.names:
            hint = did_you_mean(before, sorted(draft.layers.names))
            message = f"there is no step {before!r} in {draft.layers.file}"
            yield table.problem((row, "need before"), message, hint)
        if offers.names and row.record.item not in offers.names:
            message = f"{row.record.item!r} has no offer in {offers.file}"
            hint = "it is planned without a price; ask for one"
            yield table.problem((row, "item"), message, hint, "warning")


def check_suppliers(draft: Draft) -> Found:
    """A supplier stands once, counts in the club's currency, and opens again after it closes."""
    table, currency = draft.suppliers, draft.of("currency")
    yield from twice(table, "supplier")
    for row in table.rows:
        supplier = row.record
        if currency and supplier.currency and supplier.currency != currency:
            message = f"{supplier.currency} is not the club's currency, {currency}"
            hint = f"write charges and prices in {currency}; nothing here converts money"
            yield table.problem((row, "currency"), message, hint)
        if (supplier.closed_from is None) != (supplier.closed_until is None):
            message = "one end of the closed days is missing"
            yield table.problem((row, "closed from"), message, "write both days or none")
        elif (supplier.closed_from or NEVER) > (supplier.closed_until or NEVER):
            message = f"{supplier.closed_until} is before {supplier.closed_from}"
            yield table.problem((row, "closed until"), message, "mend one of the two dates")


def check_offers(draft: Draft) -> Found:
    """An offer sells an item of the list, by a supplier of the list, in a unit that fits."""
    table, items = draft.offers, draft.items
    for row in table.rows:
        offer = row.record
        yield from _known(table, row, "item", offer.item, items)
        yield from _known(table, row, "supplier", offer.supplier, draft.suppliers)
        yield from _unit_fits(table, row, offer, items)
        if offer.pack_size <= 0:
            message = f"a pack of {offer.pack_size:g} {offer.unit} is empty"
            yield table.problem((row, "pack size"), message, "write what one pack holds")
        if offer.from_packs < 1:
            yield table.problem((row, "from packs"), "less than one pack", "write 1 or more")
    yield from same_rows(table, "item")


def check_stock(draft: Draft) -> Found:
    """What lies on the shelf is an item of the list."""
    for row in draft.stock.rows:
        yield from _known(draft.stock, row, "item", row.record.item, draft.items)
        yield from _unit_fits(draft.stock, row, row.record, draft.items)
    yield from same_rows(draft.stock, "item")


def check_orders(draft: Draft) -> Found:
    """An open order is for an item of the list; days come in their order; bills stand once."""
    table = draft.orders
    for row in table.rows:
        order = row.record
        if order.received_on is None:
            yield from _known(table, row, "item", order.item, draft.items)
            yield from _known(table, row, "supplier", order.supplier, draft.suppliers)
        if order.packs < 1:
            yield table.problem((row, "packs"), "less than one pack", "write 1 or more")
        for name in ("expected_on", "received_on"):
            day = getattr(order, name)
            if day is not None and day < order.ordered_on:
                message = f"{day} is before the day of the order, {order.ordered_on}"
                hint = "mend one of the two dates"
                yield table.problem((row, name.replace("_", " ")), message, hint)
    yield from same_rows(table, "item")
    yield from same_rows(draft.spending, "item")


def _known(table: Table[Any], row: Row[Any], name: str, word: str, other: Table[Any]) -> Found:
    if word in other.names or (other.present and not other.names):
        return
    hint = did_you_mean(word, sorted(other.names)) if other.names else f"write {other.file}"
    yield table.problem((row, name), f"{word!r} is not in {other.file}", hint)


def _plain_unit(table: Table[Item], row: Row[Item]) -> Found:
    """A unit that can mean two things is refused; a name of the club's own is not."""
    try:
        check_spelling(row.record.unit)
    except UnitError as error:
        if "more than one" in error.message:
            yield table.problem((row, "unit"), error.message, error.hint)


def _unit_fits(
    table: Table[Any], row: Row[Any], lot: Offer | StockLot, items: Table[Item]
) -> Found:
    wanted = {item.unit for item in items.records if item.item == lot.item}
    for unit in wanted - {lot.unit}:
        if unit in SPELLINGS and lot.unit in SPELLINGS and same_kind(unit, lot.unit):
            continue
        message = f"{lot.unit!r} cannot be counted as {unit!r}, the unit in {items.file}"
        yield table.problem((row, "unit"), message, f"write it in {unit}")
