"""How far a figure may lie from the truth where the club gives no range of its own.

All of it common practice, no source. A figure that is a rule of the club, or has no effect, has no
entry here: nobody can find it out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Usual:
    """Where the truth usually lies, as ``share`` of the figure or as ``step`` to both sides."""

    low: float
    high: float
    by: Literal["share", "step"] = "share"

    def around(self, value: float) -> tuple[float, float]:
        """Low and high for a figure."""
        if self.by == "step":
            return value + self.low, value + self.high
        return tuple(sorted((value * self.low, value * self.high)))  # type: ignore[return-value]


USUAL: Mapping[str, Usual] = {
    "rink.sheet_length": Usual(0.99, 1.01),
    "rink.sheet_width": Usual(0.92, 1.06),
    "rink.floor": Usual(0.95, 1.1),
    "slab.cover": Usual(0.7, 1.5),
    "slab.thickness": Usual(0.8, 1.2),
    "slab.set_point": Usual(-1.0, 1.0, "step"),
    "chiller.freeze_test": Usual(0.8, 1.2),
    "chiller.spare": Usual(0.7, 1.3),
    "chiller.capacity": Usual(0.85, 1.15),
    "chiller.standing_load": Usual(0.7, 1.4),
    "chiller.brine": Usual(-2.0, 2.0, "step"),
    "chiller.pull_down": Usual(0.7, 1.4),
    "source.temperature": Usual(-4.0, 4.0, "step"),
    "source.blend": Usual(0.8, 1.2),
    "train.carbon.litres": Usual(0.7, 1.3),
    "train.carbon.chlorine": Usual(0.0, 0.5, "step"),
    "train.softener.resin": Usual(0.95, 1.05),
    "train.softener.capacity": Usual(0.7, 1.2),
    "train.softener.salt_per_regeneration": Usual(0.7, 1.3),
    "train.reverse osmosis.output": Usual(0.75, 1.1),
    "train.reverse osmosis.temperature_factor": Usual(0.85, 1.2),
    "train.reverse osmosis.concentrate_flow": Usual(0.8, 1.3),
    "train.reverse osmosis.recovery": Usual(0.6, 1.2),
    "train.reverse osmosis.rejection": Usual(0.96, 1.01),
    "train.di.flow": Usual(0.7, 1.3),
    "train.tank.volume": Usual(0.9, 1.05),
    "train.tank.heel": Usual(0.6, 2.0),
    "train.tank.air_co2": Usual(0.5, 1.6),
    "meter.coefficient": Usual(0.9, 1.1),
    "pebble.league": Usual(0.7, 1.5),
    "pebble.bonspiel": Usual(0.7, 1.4),
    "pebble.practice": Usual(0.6, 1.7),
    "pebble.lesson": Usual(0.6, 1.5),
    "pebble.before_scrape": Usual(0.6, 1.6),
    "pebble.scrapes_per_week": Usual(0.7, 1.3),
    "pebble.removed_per_scrape": Usual(0.6, 2.0),
    "pebble.sheet_use": Usual(0.75, 1.15),
    "pebble.waste": Usual(0.5, 1.7),
    "pebble.relevel": Usual(0.85, 1.25),
    "white.powder_density": Usual(0.95, 1.05),
    "white.ratio": Usual(0.9, 1.5),
    "white.per_coat": Usual(0.75, 1.35),
    "white.loss": Usual(0.7, 1.5),
    "white.heel": Usual(0.6, 2.0),
    "boom.width": Usual(0.9, 1.1),
    "boom.nozzle_flow": Usual(0.8, 1.3),
    "boom.pace": Usual(0.85, 1.15),
    "flush.fresh": Usual(0.5, 2.0),
    "flush.stood": Usual(0.5, 2.5),
    "flush.hose": Usual(0.5, 2.0),
    "vessels.resin": Usual(0.93, 1.07),
    "vessels.rated": Usual(0.85, 1.15),
    "vessels.cation_total": Usual(0.9, 1.1),
    "vessels.anion_total": Usual(0.9, 1.1),
    "vessels.cation_share": Usual(0.85, 1.15),
    "vessels.regenerated_share": Usual(0.8, 1.2),
    "vessels.usable_share": Usual(0.7, 1.05),
    "layers.depth_per_pass": Usual(0.85, 1.2),
    "layers.litres_per_pass_and_sheet": Usual(0.7, 1.4),
    "layers.loss": Usual(0.5, 1.6),
    "layers.minimum_wait": Usual(0.7, 1.5),
    "items.rate": Usual(0.7, 1.4),
}
"""By key: ``pebble.waste`` in club.toml, ``vessels.resin`` in a table."""

# What a full water test would tell where the sheet does not.
SILICA_MG_L = (5.0, 30.0)
SODIUM_MG_L = (3.0, 60.0)
PH = (6.9, 8.1)
ALKALINITY_SHARE = (0.6, 1.0)
"""Of the alkalinity that makes up the charge: the rest is chloride and sulfate."""

SPARE_KW_PER_SHEET = (8.0, 25.0)
RESIN_L = (50.0, 150.0)
RATED_EQ_L = (0.36, 0.46)
BED_VOLUMES_H = (8.0, 40.0)
FLOOR_SHARE = (1.0, 1.15)
BUILD_SHARE = (0.85, 1.2)
"""Of the water of a layer plan of common practice."""
FEWER_OR_MORE_DRAWS = (-1, 1)
