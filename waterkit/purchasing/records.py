"""Items, suppliers, offers, stock and budget as a club writes them down."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal

from waterkit.quantities import DAYS, MONTHS, PERCENT, SEASONS, WORKING_DAYS

Driver = Literal[
    "season", "sheet", "m2 of white", "m of edge", "house", "paint day and person", "draw",
    "sheet and draw", "bonspiel", "week", "month of rent", "vessel fill", "delivery", "m3 feed",
    "m3 DI", "m3 reject", "kg salt", "kg powder", "sheet scrape", "meter check",
]  # fmt: skip
Basis = Literal["measured", "quoted", "assumed"]


@dataclass(frozen=True, slots=True)
class Item:
    """One consumable: ``rate`` units are used for each unit of ``driver``.

    ``contingency`` None: that of the budget.

    ``need_before`` names a step of the layer plan or a date by which all of it must be there;
    None: when the driver first asks for it. ``life`` counts seasons; an item that lasts several
    is needed in the season it runs out, counted from ``installed_on``.
    """

    item: str
    driver: Driver
    rate: float
    unit: str
    category: str = ""
    contingency_percent: Annotated[float, PERCENT] | None = None
    basis: Basis = "assumed"
    life_seasons: Annotated[float, SEASONS] | None = None
    installed_on: dt.date | None = None
    need_before: dt.date | str | None = None


@dataclass(frozen=True, slots=True)
class Supplier:
    """Terms of one supplier; money in the supplier's currency, without tax."""

    supplier: str
    delivery_charge: Decimal = Decimal(0)
    free_from: Decimal | None = None
    minimum_order: Decimal = Decimal(0)
    lead_working_days: Annotated[float, WORKING_DAYS] = 10.0
    payment_d: Annotated[float, DAYS] = 30.0
    tax_percent: Annotated[float, PERCENT] = 0.0
    currency: str = ""
    closed_from: dt.date | None = None
    closed_until: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Offer:
    """One way to buy an item: whole packs of ``pack_size`` units at ``price``, without tax."""

    item: str
    supplier: str
    pack_size: float
    unit: str
    price: Decimal
    from_packs: int = 1
    shelf_life_months: Annotated[float, MONTHS] | None = None
    quoted_on: dt.date | None = None
    valid_until: dt.date | None = None


@dataclass(frozen=True, slots=True)
class StockLot:
    """What lies on the shelf, as counted on a day."""

    item: str
    quantity: float
    unit: str
    expires: dt.date | None = None
    counted_on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class OpenOrder:
    """One row of orders.csv: so many packs ordered; open until ``received_on`` is written."""

    ordered_on: dt.date
    item: str
    supplier: str
    packs: int
    price: Decimal
    expected_on: dt.date | None = None
    received_on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Bill:
    """One row of spending.csv: what an item cost in a season, tax and delivery included."""

    date: dt.date
    season: str
    item: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Budget:
    """The treasurer's rules.

    ``last_year`` is what the same items cost last year, tax and delivery included; then the
    contingency of items without their own, days on which suppliers do not work, how long a quote
    counts as fresh, and working days to spare before something is needed.
    """

    last_year: Decimal | None = None
    contingency_percent: Annotated[float, PERCENT] = 0.0
    holidays: tuple[dt.date, ...] = ()
    quote_age_d: Annotated[float, DAYS] = 180.0
    buffer_working_days: Annotated[float, WORKING_DAYS] = 5.0
