"""Everything that could be read of a folder, before it is a club."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from waterkit.club.club_file import HEAD, ClubFile
from waterkit.club.models import slots_of
from waterkit.club.tables import Table
from waterkit.errors import Problem
from waterkit.ice.layers import LayerStep
from waterkit.purchasing.records import Bill, Item, Offer, OpenOrder, StockLot, Supplier
from waterkit.season.demand import DrawRow
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Vessel
from waterkit.water.readings import SpotCheck
from waterkit.water.sample import WaterTest

Found = Iterator[Problem]


@dataclass(frozen=True, slots=True)
class Draft:
    """What stands in club.toml and in each table."""

    head: ClubFile
    tests: Table[WaterTest]
    layers: Table[LayerStep] = field(default_factory=lambda: Table("layers.csv"))
    draws: Table[DrawRow] = field(default_factory=lambda: Table("draws.csv"))
    vessels: Table[Vessel] = field(default_factory=lambda: Table("vessels.csv"))
    changeouts: Table[VesselChange] = field(default_factory=lambda: Table("changeouts.csv"))
    checks: Table[SpotCheck] = field(default_factory=lambda: Table("checks.csv"))
    items: Table[Item] = field(default_factory=lambda: Table("items.csv"))
    suppliers: Table[Supplier] = field(default_factory=lambda: Table("suppliers.csv"))
    offers: Table[Offer] = field(default_factory=lambda: Table("offers.csv"))
    stock: Table[StockLot] = field(default_factory=lambda: Table("stock.csv"))
    orders: Table[OpenOrder] = field(default_factory=lambda: Table("orders.csv"))
    spending: Table[Bill] = field(default_factory=lambda: Table("spending.csv"))

    def of(self, key: str) -> Any:
        """A table or key of club.toml, its default where it is not written.

        None where it must be written and is not, or where it could not be read.
        """
        if key in self.head.broken:
            return None
        slot = slots_of(HEAD)[key]
        return self.head.values.get(key, None if slot.required else slot.default)


def twice(table: Table[Any], name: str) -> Found:
    """Rows called like a row further up."""
    seen: dict[str, int] = {}
    for row in table.rows:
        word = getattr(row.record, name)
        if word in seen:
            message = f"{word!r} stands in line {seen[word]} already"
            yield table.problem((row, name), message, "give each its own name")
        seen.setdefault(word, row.line)
