"""Situations at the tank, read from the table beside this file, in whole numbers."""

import csv
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from waterkit.tank.baked import Baked, bake, tenths_of, whole
from waterkit.tank.case import Known, Said
from waterkit.water.limits import COMMON_LIMITS, Limit
from waterkit.water.meter import Meter

METERS = {
    "linear": Meter("linear"),
    "none": Meter("none", "none"),
    "fine": Meter("fine", "none", resolution_us_cm=0.01),
    "natural": Meter("natural", "natural water"),
    "tds half": Meter("tds half", factor=0.5, resolution_us_cm=2.0),
    "tds natural": Meter("tds natural", factor=0.64, resolution_us_cm=1.5625),
}
STRICT = {**COMMON_LIMITS, "pebble": Limit(1.0, 2.0)}


@dataclass(frozen=True)
class Situation:
    """One row: what is told and known, and the answer that is to come."""

    name: str
    table: Baked
    said: Said
    known: Known
    verdict: str
    reason: str
    also: str


@lru_cache
def table(co2_ppm: float = 1000.0, strict: bool = False) -> Baked:
    """The baked table of a hall with every kind of meter."""
    return bake(STRICT if strict else COMMON_LIMITS, METERS.values(), co2_ppm)


def situations() -> list[Situation]:
    """Every row of situations.csv."""
    with (Path(__file__).parent / "situations.csv").open(encoding="utf-8", newline="") as file:
        return [_situation(row) for row in csv.DictReader(file)]


def _situation(row: dict[str, str]) -> Situation:
    strict, typed = row["use"] == "strict", row["meter"].removesuffix(" in uS")
    meter = METERS.get(typed)
    unit = "ppm" if meter and meter.factor and typed == row["meter"] else "uS/cm"
    said: dict[str, Any] = {
        "point": row["point"], "use": "pebble" if strict else row["use"],
        "meter": typed if meter else "", "shown": whole(float(row["reading"])), "unit": unit,
        "tenths": tenths_of(float(row["temperature_c"])), "litres": int(row["litres"] or 0),
        "seen": tuple(row["seen"].split()),
    }  # fmt: skip
    known: dict[str, Any] = {
        name: whole(float(row[name])) for name in ("feed_25", "outlet_25", "earlier_25")
        if row[name]
    } | {name: int(row[name]) for name in ("litres_left", "tank_l") if row[name]}  # fmt: skip
    return Situation(
        row["situation"], table(float(row["co2_ppm"]), strict), Said(**said),
        Known(standard=row["standard"], reserve_percent=7, **known),  # type: ignore[arg-type]
        row["verdict"], row["reason"], row["also"],
    )  # fmt: skip
