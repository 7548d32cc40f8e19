"""The whole club as one record, and the records that belong to no other room.

Each record is a frozen dataclass that lives with the formulas that use it; this module only gathers
them. ``waterkit.club.reading`` derives its reader from the fields of these records.
"""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

from waterkit.club.toml_lines import Lines
from waterkit.errors import InputError, Problem
from waterkit.ice.layers import LayerStep
from waterkit.ice.markings import Colours
from waterkit.ice.paint import Boom, White
from waterkit.ice.pebble import PebbleRules
from waterkit.ice.sheet import Rink, Slab
from waterkit.purchasing.records import Bill, Budget, Item, Offer, OpenOrder, StockLot, Supplier
from waterkit.quantities import SEASONS, TEMPERATURE
from waterkit.season.build import Chiller, SeasonDates
from waterkit.season.demand import DrawRow, Flush
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Changeout, Vessel
from waterkit.treatment.train import Process
from waterkit.water.fouling import FoulingLimits
from waterkit.water.limits import COMMON_LIMITS, Limit, Use
from waterkit.water.meter import Meter
from waterkit.water.readings import Readings, SpotCheck
from waterkit.water.sample import Sample
from waterkit.working import Basis

JANUARY, DECEMBER = 1, 12


@dataclass(frozen=True, slots=True)
class People:
    """Who helps: size of a crew, and the role that may release a hold at the tank."""

    crew: int = 4
    release: str = "ice tech"


@dataclass(frozen=True, slots=True)
class SourceWater:
    """The supply: its temperature, one figure or one for each month, and the blend of sources."""

    temperature_c: Annotated[float, TEMPERATURE] = 10.0
    by_month_c: Mapping[int, Annotated[float, TEMPERATURE]] = field(default_factory=dict)
    blend: Mapping[str, float] = field(default_factory=dict)

    def temperature_on(self, day: dt.date) -> float:
        """Temperature of the supply on a day [degC]."""
        return self.by_month_c.get(day.month, self.temperature_c)


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the club: its value and range in core units, whose it is, where it stands.

    ``path`` is ``slab.cover`` in club.toml, ``vessels.csv:V1:resin`` in a table. A default that the
    club did not write has no ``line``.
    """

    path: str
    value: float
    unit: str
    basis: Basis
    low: float | None = None
    high: float | None = None
    note: str = ""
    file: str = "club.toml"
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Scenario:
    """One what-if of the folder ``scenarios``: what it lays over the club, and what it costs.

    ``file`` is its path inside the club's folder; ``overlay`` holds its keys of club.toml as they
    stand there, ``lines`` their places, ``replaces`` the files that are read instead of others.
    ``capital`` is paid at the start, ``residual`` is what is left of it after ``life``.
    """

    name: str
    file: str
    overlay: Mapping[str, object] = field(default_factory=dict)
    lines: Lines = field(default_factory=Lines, compare=False, repr=False)
    replaces: Mapping[str, str] = field(default_factory=dict)
    capital: Decimal = Decimal(0)
    life_seasons: Annotated[float, SEASONS] | None = None
    residual: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Club:
    """Everything that a club's folder says, defaults filled in, in core units."""

    name: str
    season: SeasonDates
    rink: Rink
    samples: tuple[Sample, ...]
    folder: Path
    display: Literal["metric", "us"] = "metric"
    currency: str = "EUR"
    locale: str = "en"
    timezone: str = "UTC"
    slab: Slab = Slab()
    chiller: Chiller = Chiller()
    people: People = People()
    source: SourceWater = SourceWater()
    train: tuple[Process, ...] = ()
    changeout: Changeout = Changeout()
    limits: Mapping[Use, Limit] = field(default_factory=lambda: COMMON_LIMITS)
    fouling: FoulingLimits = FoulingLimits()
    meters: tuple[Meter, ...] = ()
    pebble: PebbleRules = PebbleRules()
    white: White = White()
    boom: Boom = Boom()
    colours: Colours = Colours()
    flush: Flush = Flush()
    budget: Budget = Budget()
    layers: tuple[LayerStep, ...] = ()
    draws: tuple[DrawRow, ...] = ()
    vessels: tuple[Vessel, ...] = ()
    items: tuple[Item, ...] = ()
    suppliers: tuple[Supplier, ...] = ()
    offers: tuple[Offer, ...] = ()
    stock: tuple[StockLot, ...] = ()
    changeouts: tuple[VesselChange, ...] = ()
    checks: tuple[SpotCheck, ...] = ()
    orders: tuple[OpenOrder, ...] = ()
    spending: tuple[Bill, ...] = ()
    readings: Readings | None = field(default=None, compare=False, repr=False)
    scenarios: tuple[Scenario, ...] = ()
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()
    broken: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)
    """The parts (by field name) that hold errors; their fields hold defaults, not to be used."""

    def need(self, *parts: str) -> None:
        """Raise InputError if one of these parts holds an error."""
        if found := [problem for part in parts for problem in self.broken.get(part, ())]:
            raise InputError(found)

    def lacks(self, *parts: str) -> bool:
        """Whether one of these parts holds an error."""
        return not self.broken.keys().isdisjoint(parts)
