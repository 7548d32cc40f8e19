"""Limits for dust of white powder in the air, with the body that set each.

Data for the cards, not advice: the product's data sheet and local law decide, and a limit kept
needs somebody who measures. Powder that holds quartz falls under far lower limits.
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from waterkit.quantities import DUST
from waterkit.working import Source

Dust = Literal["total", "respirable", "fine, respirable", "ultrafine, respirable"]

OSHA = Source(
    "osha-z-1",
    "US Occupational Safety and Health Administration, 29 CFR 1910.1000, table Z-1, mean of "
    "8 hours; total dust seen, respirable dust as quoted in safety data sheets",
)
NIOSH_TITANIUM = Source(
    "niosh-cib-63",
    "US National Institute for Occupational Safety and Health, Current Intelligence Bulletin 63: "
    "Occupational Exposure to Titanium Dioxide, 2011, mean of up to 10 hours",
)
NIOSH_IDLH = Source(
    "niosh-idlh",
    "US National Institute for Occupational Safety and Health, Immediately Dangerous to Life or "
    "Health Concentrations, titanium dioxide, 1994",
)
NIOSH_GUIDE = Source(
    "niosh-guide",
    "US National Institute for Occupational Safety and Health, Pocket Guide to Chemical Hazards, "
    "calcium carbonate, mean of up to 10 hours; as quoted by OSHA",
)


@dataclass(frozen=True, slots=True)
class DustLimit:
    """One limit: powder, dust that is counted, milligrams in a cubic metre of air, whose it is.

    ``danger`` marks a level from which people have to get away at once, not one to work at.
    """

    powder: str
    dust: Dust
    mg_m3: Annotated[float, DUST]
    source: Source
    danger: bool = False


TITANIUM_DIOXIDE, CALCIUM_CARBONATE, OTHER = "titanium dioxide", "calcium carbonate", "other dust"
LIMITS: tuple[DustLimit, ...] = (
    DustLimit(TITANIUM_DIOXIDE, "total", 15.0, OSHA),
    DustLimit(TITANIUM_DIOXIDE, "fine, respirable", 2.4, NIOSH_TITANIUM),
    DustLimit(TITANIUM_DIOXIDE, "ultrafine, respirable", 0.3, NIOSH_TITANIUM),
    DustLimit(TITANIUM_DIOXIDE, "total", 5000.0, NIOSH_IDLH, danger=True),
    DustLimit(CALCIUM_CARBONATE, "total", 15.0, OSHA),
    DustLimit(CALCIUM_CARBONATE, "respirable", 5.0, OSHA),
    DustLimit(CALCIUM_CARBONATE, "total", 10.0, NIOSH_GUIDE),
    DustLimit(OTHER, "total", 15.0, OSHA),
    DustLimit(OTHER, "respirable", 5.0, OSHA),
)
_WORDS = {
    "titan": TITANIUM_DIOXIDE,
    "tio2": TITANIUM_DIOXIDE,
    "calcium carbonate": CALCIUM_CARBONATE,
    "chalk": CALCIUM_CARBONATE,
    "limestone": CALCIUM_CARBONATE,
    "whiting": CALCIUM_CARBONATE,
}


def dust_limits(powder: str) -> tuple[DustLimit, ...]:
    """Limits for a powder by its name as the club writes it; a blend gets those of each part."""
    found = {kind for word, kind in _WORDS.items() if word in powder.lower()} or {OTHER}
    return tuple(limit for limit in LIMITS if limit.powder in found)
