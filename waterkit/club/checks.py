"""What must hold between the files of a club: small checks, each told all it is to look at."""

import datetime as dt
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from waterkit.club.club_file import FORMAT, HEAD, ClubFile
from waterkit.club.fields import did_you_mean
from waterkit.club.models import slots_of
from waterkit.club.tables import Row, Table
from waterkit.errors import FieldError, Problem
from waterkit.ice.layers import LayerStep, check_layers, check_step
from waterkit.ice.paint import check_white
from waterkit.ice.sheet import check_rink
from waterkit.purchasing.records import Item, Offer, StockLot, Supplier
from waterkit.season.demand import DrawRow
from waterkit.treatment.ion_exchange import Vessel, check_vessel
from waterkit.treatment.train import Deioniser
from waterkit.units import SPELLINGS, same_kind
from waterkit.water.sample import WaterTest

Found = Iterator[Problem]
NEVER = dt.date.max


@dataclass(frozen=True, slots=True)
class Draft:
    """Everything that could be read of a folder."""

    head: ClubFile
    tests: Table[WaterTest]
    layers: Table[LayerStep] = field(default_factory=lambda: Table("layers.csv"))
    draws: Table[DrawRow] = field(default_factory=lambda: Table("draws.csv"))
    vessels: Table[Vessel] = field(default_factory=lambda: Table("vessels.csv"))
    items: Table[Item] = field(default_factory=lambda: Table("items.csv"))
    suppliers: Table[Supplier] = field(default_factory=lambda: Table("suppliers.csv"))
    offers: Table[Offer] = field(default_factory=lambda: Table("offers.csv"))
    stock: Table[StockLot] = field(default_factory=lambda: Table("stock.csv"))

    def of(self, table: str) -> Any:
        """A table or key of club.toml; None where it is missing or could not be read."""
        slot = slots_of(HEAD)[table]
        return self.head.values.get(table, None if slot.required else slot.default)


def _at(table: Table[Any], row: Row[Any], name: str, message: str, hint: str) -> Problem:
    return Problem(table.file, message, hint, row.line, name)


def check_settings(draft: Draft) -> Found:
    """Format, name, currency and time zone are usable."""
    if draft.of("format") != FORMAT:
        hint = f"this version reads format = {FORMAT}"
        yield draft.head.problem(("format",), f"format {draft.of('format')} is not known", hint)
    if draft.of("name") == "":
        yield draft.head.problem(("name",), "the club has no name", "write one; any text will do")
    if not re.fullmatch(r"[A-Z]{3}", draft.of("currency")):
        message = f"{draft.of('currency')!r} is no currency code"
        yield draft.head.problem(("currency",), message, "write three letters, such as EUR or CAD")
    zone = draft.of("timezone")
    if zone != "UTC" and not _is_zone(zone) and available_timezones():
        hint = "write a name such as Europe/Berlin or America/Toronto"
        yield draft.head.problem(("timezone",), f"{zone!r} is no time zone", hint)


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (OSError, ValueError, KeyError):
        return False
    return True


def check_season(draft: Draft) -> Found:
    """Days come in their order."""
    season = draft.of("season")
    if season is None:
        return
    if season.last_draw < season.first_draw:
        message = f"the last draw, {season.last_draw}, is before the first, {season.first_draw}"
        yield draft.head.problem(("season", "last_draw"), message, "mend one of the two dates")
    for number, closure in enumerate(season.closures):
        if closure.until < closure.from_:
            path = ("season", "closures", number, "until")
            yield draft.head.problem(path, f"{closure.until} is before {closure.from_}", "mend one")
    chiller = draft.of("chiller")
    if chiller.plant_on and chiller.plant_on > season.first_draw:
        message = f"{chiller.plant_on} is after the first draw, {season.first_draw}"
        yield draft.head.problem(("chiller", "plant_on"), message, "mend one of the two dates")


def check_chiller(draft: Draft) -> Found:
    """Capacity and standing load go together."""
    chiller = draft.of("chiller")
    if (chiller.capacity_kw is None) != (chiller.standing_load_kw is None):
        missing = "capacity" if chiller.capacity_kw is None else "standing_load"
        hint = "capacity and standing_load go together; spare or freeze_test replace both"
        yield draft.head.problem(("chiller",), f"{missing} is missing", hint)


def check_tables(draft: Draft) -> Found:
    """The rink holds its sheets; the white can be mixed and put on."""
    for table, check in (("rink", check_rink), ("white", check_white)):
        if (record := draft.of(table)) is not None:
            try:
                check(record)
            except FieldError as error:
                yield draft.head.problem((table, error.field), error.message, error.hint)


def check_limits(draft: Draft) -> Found:
    """No limit lets water be used that it forbids."""
    for use, limit in draft.of("limits").items():
        if limit.act_us_cm < limit.good_us_cm:
            message = f"act, {limit.act_us_cm:g} uS/cm, is below good, {limit.good_us_cm:g} uS/cm"
            hint = "up to good water is used, above act it is not"
            yield draft.head.problem(("limits", use, "act"), message, hint)


def check_vessels(draft: Draft) -> Found:
    """Each vessel is described in one way; one vessel stands in one position."""
    taken: dict[str, str] = {}
    for row in draft.vessels.rows:
        vessel = row.record
        try:
            check_vessel(vessel)
        except FieldError as error:
            yield _at(draft.vessels, row, error.field, error.message, error.hint)
        if vessel.position != "spare" and vessel.position in taken:
            message = f"{taken[vessel.position]!r} stands in {vessel.position} already"
            hint = "one vessel in each position; the others are spare"
            yield _at(draft.vessels, row, "position", message, hint)
        taken.setdefault(vessel.position, vessel.vessel)


def check_train(draft: Draft) -> Found:
    """Vessels stand where the train says, and nowhere else."""
    if draft.vessels.problems:
        return
    beds = [
        (number, process)
        for number, process in enumerate(draft.of("train"))
        if isinstance(process, Deioniser)
    ]
    filled = {vessel.position for vessel in draft.vessels.records}
    used: set[str] = set()
    for number, bed in beds:
        for position in bed.positions:
            path = ("train", number, "positions")
            if position in used:
                yield draft.head.problem(path, f"{position} stands twice", "take one away")
            elif draft.vessels.rows and position not in filled:
                hint = "add the vessel to vessels.csv, or take the position away"
                yield draft.head.problem(path, f"no vessel stands in {position}", hint)
            used.add(position)
    for row in draft.vessels.rows:
        place = row.record.position
        if beds and place != "spare" and place not in used:
            hint = "add the position to the di row of club.toml, or call the vessel spare"
            yield _at(draft.vessels, row, "position", f"the train has no position {place}", hint)


def check_steps(draft: Draft) -> Found:
    """Each step is one thing, and what it needs is in the plan and does not need it in turn."""
    table = draft.layers
    for row in table.rows:
        try:
            check_step(row.record)
        except FieldError as error:
            yield _at(table, row, error.field, error.message, error.hint)
        for name in row.record.needs:
            if name not in table.names:
                hint = did_you_mean(name, sorted(table.names))
                yield _at(table, row, "needs", f"there is no step {name!r}", hint)
    try:
        check_layers(table.records)
    except FieldError as error:
        yield Problem(table.file, error.message, error.hint, field=error.field)
    yield from _twice(table, "step")
    yield from _in_circles(table)


def _in_circles(table: Table[LayerStep]) -> Found:
    needs: dict[str, set[str]] = {}
    above = ""
    if len(table.names) < len(table.rows):
        return
    for row in table.rows:
        wanted = row.record.needs or ((above,) if above else ())
        needs.setdefault(row.record.step, set()).update(wanted)
        above = row.record.step
    while ready := {step for step, wanted in needs.items() if not wanted & needs.keys()}:
        needs = {step: wanted for step, wanted in needs.items() if step not in ready}
    for row in table.rows:
        if row.record.step in needs:
            message = f"the steps wait for each other: {', '.join(needs)}"
            hint = "an empty cell means the row above; take one of the needs away"
            yield _at(table, row, "needs", message, hint)
            return


def check_draws(draft: Draft) -> Found:
    """A draw fits the rink and ends after it begins."""
    rink = draft.of("rink")
    for row in draft.draws.rows:
        draw = row.record
        if rink and draw.sheets is not None and draw.sheets > rink.sheets:
            message = f"{draw.sheets} sheets, the rink has {rink.sheets}"
            yield _at(draft.draws, row, "sheets", message, "leave it empty for the usual share")
        if draw.from_ and draw.until and draw.until < draw.from_:
            yield _at(draft.draws, row, "until", f"{draw.until} is before {draw.from_}", "mend one")
        if draw.start and draw.end and draw.end <= draw.start:
            message = f"{draw.end:%H:%M} is not after {draw.start:%H:%M}"
            yield _at(draft.draws, row, "end", message, "mend one of the two times")


def check_items(draft: Draft) -> Found:
    """An item stands once, and what it is needed before is in the plan."""
    yield from _twice(draft.items, "item")
    for row in draft.items.rows:
        before = row.record.need_before
        if isinstance(before, str) and draft.layers.names and before not in draft.layers.names:
            hint = did_you_mean(before, sorted(draft.layers.names))
            message = f"there is no step {before!r} in layers.csv"
            yield _at(draft.items, row, "need before", message, hint)


def check_suppliers(draft: Draft) -> Found:
    """A supplier stands once, counts in the club's currency, and opens again after it closes."""
    yield from _twice(draft.suppliers, "supplier")
    currency = draft.of("currency")
    for row in draft.suppliers.rows:
        supplier = row.record
        if supplier.currency and supplier.currency != currency:
            message = f"{supplier.currency} is not the club's currency, {currency}"
            hint = f"write charges and prices in {currency}; nothing here converts money"
            yield _at(draft.suppliers, row, "currency", message, hint)
        if (supplier.closed_from is None) != (supplier.closed_until is None):
            message = "one end of the closed days is missing"
            yield _at(draft.suppliers, row, "closed from", message, "write both days or none")
        elif (supplier.closed_from or NEVER) > (supplier.closed_until or NEVER):
            message = f"{supplier.closed_until} is before {supplier.closed_from}"
            yield _at(draft.suppliers, row, "closed until", message, "mend one")


def check_offers(draft: Draft) -> Found:
    """An offer sells an item of the list, by a supplier of the list, in a unit that fits."""
    for row in draft.offers.rows:
        offer = row.record
        yield from _known(draft.offers, row, "item", offer.item, draft.items)
        yield from _known(draft.offers, row, "supplier", offer.supplier, draft.suppliers)
        yield from _unit_fits(draft.offers, row, offer, draft.items)
        if offer.pack_size <= 0:
            yield _at(draft.offers, row, "pack size", "an empty pack", "write what one pack holds")
        if offer.from_packs < 1:
            yield _at(draft.offers, row, "from packs", "less than one pack", "write 1 or more")


def check_stock(draft: Draft) -> Found:
    """What lies on the shelf is an item of the list."""
    for row in draft.stock.rows:
        yield from _known(draft.stock, row, "item", row.record.item, draft.items)
        yield from _unit_fits(draft.stock, row, row.record, draft.items)


def _known(table: Table[Any], row: Row[Any], name: str, word: str, other: Table[Any]) -> Found:
    if word in other.names or (other.present and not other.names):
        return
    hint = did_you_mean(word, sorted(other.names)) if other.names else f"write {other.file}"
    yield _at(table, row, name, f"{word!r} is not in {other.file}", hint)


def _unit_fits(
    table: Table[Any], row: Row[Any], lot: Offer | StockLot, items: Table[Item]
) -> Found:
    wanted = {item.unit for item in items.records if item.item == lot.item}
    for unit in wanted - {lot.unit}:
        if unit in SPELLINGS and lot.unit in SPELLINGS and same_kind(unit, lot.unit):
            continue
        message = f"{lot.unit!r} cannot be counted as {unit!r}, the unit in {items.file}"
        yield _at(table, row, "unit", message, f"write it in {unit}")


def _twice(table: Table[Any], name: str) -> Found:
    seen: set[str] = set()
    for row in table.rows:
        word = getattr(row.record, name)
        if word in seen:
            yield _at(table, row, name, f"{word!r} stands twice", "give each its own name")
        seen.add(word)


CHECKS: tuple[Callable[[Draft], Found], ...] = (
    check_settings, check_season, check_chiller, check_tables, check_limits,
    check_vessels, check_train, check_steps, check_draws, check_items, check_suppliers,
    check_offers, check_stock,
)  # fmt: skip
