"""What must hold between items, suppliers, offers, stock and orders."""

import datetime as dt
from typing import Any

from waterkit.club.draft import Draft, Found, twice
from waterkit.club.fields import did_you_mean
from waterkit.club.ice_checks import same_rows
from waterkit.club.tables import Row, Table
from waterkit.purchasing.records import Item, Offer, StockLot, Supplier
from waterkit.units import SPELLINGS, UnitError, check_spelling, is_ambiguous, is_mass, same_kind

NEVER = dt.date.max
RENT = "month of rent"


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


def check_rents(draft: Draft) -> Found:
    """A vessel's rent is an item of the list that is counted by months of rent."""
    table, items = draft.vessels, draft.items
    drivers = {item.item: item.driver for item in items.records}
    for row in table.rows:
        rent = row.record.rent
        if not rent:
            continue
        yield from _known(table, row, "rent", rent, items)
        if drivers.get(rent, RENT) != RENT:
            message = f"{rent!r} is counted by {drivers[rent]!r} in {items.file}"
            hint = f"name an item whose driver is {RENT}, or leave it empty"
            yield table.problem((row, "rent"), message, hint)


def check_suppliers(draft: Draft) -> Found:
    """A supplier stands once, counts in the club's currency, and opens again after it closes."""
    table = draft.suppliers
    yield from twice(table, "supplier")
    yield from _currencies(table, draft.of("currency"))
    for row in table.rows:
        supplier = row.record
        if (supplier.closed_from is None) != (supplier.closed_until is None):
            message = "one end of the closed days is missing"
            yield table.problem((row, "closed from"), message, "write both days or none")
        elif (supplier.closed_from or NEVER) > (supplier.closed_until or NEVER):
            message = f"{supplier.closed_until} is before {supplier.closed_from}"
            yield table.problem((row, "closed until"), message, "mend one of the two dates")


def _currencies(table: Table[Supplier], currency: str | None) -> Found:
    """Suppliers that count in another currency; where all do, it is told once."""
    counted = [row for row in table.rows if row.record.currency]
    others = [row for row in counted if currency and row.record.currency != currency]
    hint = f"write charges and prices in {currency}; nothing here converts money"
    if len(others) > 1 and len(others) == len(counted):
        hint = f"mend the currency in club.toml, or {hint}"
        others = others[:1]
    for row in others:
        message = f"{row.record.currency} is not the club's currency, {currency}"
        yield table.problem((row, "currency"), message, hint)


def check_offers(draft: Draft) -> Found:
    """An offer sells an item of the list, by a supplier of the list, in a unit that fits."""
    table, items = draft.offers, draft.items
    for row in table.rows:
        offer = row.record
        yield from _known(table, row, "item", offer.item, items)
        yield from _known(table, row, "supplier", offer.supplier, draft.suppliers)
        yield from _unit_fits(table, row, offer, items)
        yield from _weighed_bag(table, row, offer, items)
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
    if not is_ambiguous(row.record.unit):
        return
    try:
        check_spelling(row.record.unit)
    except UnitError as error:
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


def _weighed_bag(table: Table[Offer], row: Row[Offer], offer: Offer, items: Table[Item]) -> Found:
    """Powder is mixed by mass: what takes the place of a kilogram of it is sold by mass."""
    powders = [item for item in items.records if item.driver == "kg powder" and item.rate == 1]
    no_mass = {item.item for item in powders if not is_mass(item.unit)}
    if offer.item in no_mass and not is_mass(offer.unit):
        message = f"a pack of powder told in {offer.unit!r}: it is mixed by weight"
        hint = f"write what a pack weighs, in kg or lb, here and as the unit in {items.file}"
        yield table.problem((row, "unit"), message, hint)
