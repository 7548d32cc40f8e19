"""How the limits on the card were worked out."""

from waterkit.tank.table import LimitRow
from waterkit.water.conductivity import pure_water, salt_factor
from waterkit.water.limits import Limit, Use
from waterkit.water.meter import Meter, shown_ppm, shown_us_cm
from waterkit.working import Given, Source, Working

LIMIT_SOURCE = Source(
    "limit-by-temperature",
    "pure water by IAPWS, the salt taken as sodium chloride: see the methods of conductivity",
)


def limit_working(use: Use, limit: Limit, row: LimitRow, meter: Meter) -> Working:
    """How what a meter shows at the good limit of one use was worked out, in one row."""
    celsius = row.temperature_c
    actual, turn = row.good_us_cm[use], shown_ppm if meter.factor else shown_us_cm
    times = ", times its factor" if meter.factor else ""
    return Working(
        f"limit for {use} at the coldest water of the card",
        "(limit - pure water at 25 degrees) / salt factor + pure water, both at the temperature of"
        f" the water; then as the meter turns it to its reference{times}",
        (
            Given("limit, good, at 25 degrees", limit.good_us_cm, "uS/cm",
                  path=f"limits.{use}.good"),
            Given("temperature of the water", celsius, "degC", "worked out"),
            Given("pure water at that temperature", float(pure_water(celsius)), "uS/cm",
                  "worked out"),
            Given("salt factor, 25 degrees over that temperature", float(salt_factor(celsius)),
                  "1", "worked out"),
            Given("conducts at that temperature", actual, "uS/cm", "worked out"),
            *((Given("factor of the meter", meter.factor, "1", "quoted"),) if meter.factor else ()),
        ),
        float(turn(actual, celsius, meter)),
        "ppm" if meter.factor else "uS/cm",
        LIMIT_SOURCE,
    )  # fmt: skip
