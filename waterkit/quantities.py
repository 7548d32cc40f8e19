"""The register of quantities: one name, symbol, unit, digits and plausible range for each.

Reader, formatter, docs and docstring test all use it. A record says which quantity a field holds
with ``Annotated[float, VOLUME]``; the field's name ends in the quantity's ``suffix``, and what
remains of the name is the key in the club's files (``volume_l`` is written ``volume``).
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, get_type_hints

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numeric = float | NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Quantity:
    """One quantity of the register; units are spelled as in the closed table of ``units``."""

    name: str
    symbol: str
    meaning: str
    unit: str
    suffix: str
    metric: str
    us: str
    decimals: int
    us_decimals: int
    low: float
    high: float
    as_caco3: bool = False
    """Whether a mass of CaCO3 may stand for the equivalents (a resin rating in kgr/ft3)."""


def _q(
    name: str,
    symbol: str,
    meaning: str,
    unit: str,
    suffix: str,
    plausible: tuple[float, float],
    metric: tuple[str, int] | None = None,
    us: tuple[str, int] | None = None,
    *,
    decimals: int = 0,
    as_caco3: bool = False,
) -> Quantity:
    metric_unit, metric_decimals = metric or (unit, decimals)
    us_unit, us_decimals = us or (metric_unit, metric_decimals)
    return Quantity(
        name, symbol, meaning, unit, suffix, metric_unit, us_unit, metric_decimals, us_decimals,
        *plausible, as_caco3,
    )  # fmt: skip


# fmt: off
NUMBER = _q("number", "n", "a count or a plain number", "1", "", (0, 1e9))
PERCENT = _q("percent", "p", "a share, in hundredths", "%", "percent", (0, 100), decimals=1)
RELATIVE = _q("relative difference", "d", "a signed difference, in hundredths", "%", "percent", (-100, 100), decimals=1)
SLOPE = _q("temperature coefficient", "alpha", "change per degree, in hundredths of the value at the reference", "%/degC", "percent_per_c", (0, 10), decimals=2)
PPM_CO2 = _q("carbon dioxide in air", "x", "mole fraction of carbon dioxide in the air", "ppm", "ppm", (100, 20000))
LENGTH = _q("length", "L", "length, width", "m", "m", (0, 1000), us=("ft", 1), decimals=2)
DEPTH = _q("depth", "d", "depth of water or thickness of ice, cover and slab", "mm", "mm", (0, 1000), us=("in", 2), decimals=1)
AREA = _q("area", "A", "area", "m2", "m2", (0, 20000), us=("ft2", 0), decimals=1)
VOLUME = _q("volume", "V", "volume of water or mix", "L", "l", (0, 1e7), us=("US gal", 0))
SMALL_VOLUME = _q("small volume", "V", "volume of a jug or of one sheet's pebble", "L", "l", (0, 1000), us=("US gal", 2), decimals=1)
MASS = _q("mass", "m", "mass", "kg", "kg", (0, 1e6), us=("lb", 1), decimals=1)
MASS_G = _q("small mass", "m", "mass of a test patch or of a jug on a scale", "g", "g", (0, 1e6), us=("oz", 2), decimals=1)
DENSITY = _q("density", "rho", "density", "kg/L", "kg_l", (0, 25), us=("lb/US gal", 2), decimals=3)
PAINT_RATIO = _q("paint ratio", "r", "powder per litre", "kg/L", "kg_l", (0, 2), us=("lb/US gal", 2), decimals=3)
AREAL_VOLUME = _q("areal volume", "q", "volume put on one square metre", "L/m2", "l_m2", (0, 10), us=("US gal/ft2", 4), decimals=2)
AREAL_MASS = _q("areal mass", "m", "powder on one square metre", "g/m2", "g_m2", (0, 10000), us=("oz/ft2", 3))
SCATTERING = _q("scattering coefficient", "S", "how much of the light one gram of powder on a square metre scatters", "m2/g", "m2_g", (0, 100), decimals=3)
DUST = _q("dust in air", "c", "mass of dust in one cubic metre of air", "mg/m3", "mg_m3", (0, 1e6), decimals=1)
TEMPERATURE = _q("temperature", "t", "temperature", "degC", "c", (-50, 100), us=("degF", 0), decimals=1)
FLOW = _q("flow", "Q", "volume per time", "L/h", "l_h", (0, 1e6), us=("US gal/h", 0))
HOURS = _q("hours", "t", "time, in hours", "h", "h", (0, 10000), decimals=1)
DAYS = _q("days", "t", "time, in days", "d", "d", (0, 1000), decimals=1)
MONTHS = _q("months", "t", "time, in months", "month", "months", (0, 600), decimals=0)
WORKING_DAYS = _q("working days", "t", "days on which suppliers work", "working days", "working_days", (0, 500), decimals=0)
SEASONS = _q("seasons", "n", "curling seasons", "seasons", "seasons", (0, 100), decimals=0)
PACE = _q("pace", "v", "walking speed", "m/s", "m_s", (0, 5), us=("ft/s", 1), decimals=2)
POWER = _q("power", "P", "heat carried away per time", "kW", "kw", (0, 5000), decimals=1)
HEAT = _q("heat", "q", "heat to take from one litre of water", "kJ/L", "kj_l", (0, 1000), decimals=0)
CONDUCTIVITY = _q("conductivity", "kappa", "electrical conductivity", "uS/cm", "us_cm", (0, 200000), decimals=2)
MOLAR_CONDUCTIVITY = _q("equivalent conductivity", "lambda", "conductivity of one equivalent per litre", "S cm2/eq", "s_cm2_eq", (0, 500), decimals=1)
MASS_CONCENTRATION = _q("mass concentration", "rho", "mass of a substance in one litre of water", "mg/L", "mg_l", (0, 100000), decimals=1)
TURBIDITY = _q("turbidity", "T", "cloudiness of water as a meter tells it", "NTU", "ntu", (0, 4000), decimals=1)
AMOUNT_CONCENTRATION = _q("amount concentration", "c", "amount of a substance in one litre of water", "mmol/L", "mmol_l", (0, 5000), decimals=3)
IONIC_STRENGTH = _q("ionic strength", "I", "half the sum of concentration times charge squared", "mol/L", "mol_l", (0, 10), decimals=5)
EQUIVALENTS = _q("equivalent concentration", "N", "amount of charge in one litre of water", "meq/L", "meq_l", (0, 5000), decimals=2)
MOLAR_MASS = _q("molar mass", "M", "mass of one mole", "g/mol", "g_mol", (0, 2000), decimals=3)
CAPACITY = _q("resin capacity", "q", "charge that one litre of resin can take", "eq/L", "eq_l", (0, 5), decimals=2, as_caco3=True)
CHARGE = _q("charge", "Q", "charge that a vessel can take", "eq", "eq", (0, 1e6), decimals=1)
BED_VOLUMES = _q("bed volumes", "BV", "litres of water for each litre of resin", "1", "bv", (0, 100000), decimals=1)
PH = _q("pH", "pH", "negative logarithm of the activity of hydrogen ion", "1", "ph", (0, 14), decimals=1)
REFLECTANCE = _q("reflectance", "R", "share of light thrown back", "%", "percent", (0, 100), decimals=1)
# fmt: on

REGISTER: tuple[Quantity, ...] = tuple(
    value for value in list(globals().values()) if isinstance(value, Quantity)
)


def quantity_of(record: type, field: str) -> Quantity | None:
    """The quantity that a record's field holds, or None where it holds none."""
    hint = get_type_hints(record, include_extras=True)[field]
    return find_quantity(hint)


def find_quantity(hint: object) -> Quantity | None:
    """The quantity named in a type hint such as ``Annotated[float, VOLUME] | None``."""
    for extra in getattr(hint, "__metadata__", ()):
        if isinstance(extra, Quantity):
            return extra
    for part in getattr(hint, "__args__", ()):
        if (found := find_quantity(part)) is not None:
            return found
    return None


def written_name(attribute: str, quantity: Quantity | None) -> str:
    """How a record's field is written in a club's files: ``set_point_c`` is ``set_point``."""
    name = attribute.rstrip("_")
    if quantity is not None and quantity.suffix:
        name = name.removesuffix("_" + quantity.suffix)
    return name
