"""How the figures of the ice were worked out: litres and hours of a step, paint by the batch."""

from collections.abc import Sequence

from waterkit.ice.batches import Batch, PaintPlan
from waterkit.ice.freezing import HEAT_SOURCE, PlantRate, ice_mm
from waterkit.ice.layers import LayerStep, StepHours, StepWater
from waterkit.ice.paint import White
from waterkit.ice.sheet import Rink
from waterkit.working import BALANCE, COMMON_PRACTICE, Given, Working


def litres_working(row: LayerStep, water: StepWater, rink: Rink) -> Working:
    """How the water of one step that is not white was worked out."""
    path = f"layers.csv:{row.step}"
    if row.litres_per_pass_and_sheet_l is None:
        figure = "depth of water in a pass x area x passes"
        depth = water.litres_per_pass_l / water.area_m2
        inputs: tuple[Given, ...] = (
            Given("depth of water in a pass", depth, "mm", path=f"{path}:depth per pass"),
            Given("area", water.area_m2, "m2", "worked out", _area_path(row)),
        )
    else:
        figure = "litres of a pass and sheet x sheets x passes"
        litres = row.litres_per_pass_and_sheet_l
        inputs = (
            Given("litres of a pass and sheet", litres, "L",
                  path=f"{path}:litres per pass and sheet"),
            Given("sheets", rink.sheets, "1", "quoted"),
        )  # fmt: skip
    more = (
        Given("passes", water.passes, "1", "quoted"),
        Given("lost beside the ice", row.loss_percent, "%", path=f"{path}:loss"),
    )
    return Working(
        f"water drawn for {row.step}",
        f"{figure} x (1 + lost beside the ice)",
        (*inputs, *more),
        water.drawn_l,
        "L",
        BALANCE,
        water.notes,
    )


def _area_path(row: LayerStep) -> str:
    return "rink.floor" if row.area.of == "floor" else ""


def built_working(steps: Sequence[StepWater]) -> Working:
    """How much ice the layer plan builds."""
    depth = sum(step.depth_mm_water for step in steps if step.freezes)
    return Working(
        "ice built",
        "depth of water that freezes, all steps x ice from a millimetre of water",
        (
            Given("depth of water that freezes, all steps", depth, "mm", "worked out"),
            Given("ice from a millimetre of water", float(ice_mm(1.0)), "mm", "worked out"),
        ),
        sum(step.ice_mm for step in steps),
        "mm",
        BALANCE,
    )


def freezing_working(water: StepWater, hours: StepHours, rate: PlantRate) -> Working:
    """How long the plant needs for the water of one step."""
    return Working(
        f"freezing of {water.step}",
        "water on the ice / what the plant freezes in an hour",
        (
            Given("water on the ice, all passes", water.litres_l, "L", "worked out"),
            Given("the plant freezes", rate.litres_per_hour, "L/h", rate.basis,
                  "chiller.freeze_test"),
        ),
        hours.freeze_h,
        "h",
        COMMON_PRACTICE if rate.basis == "measured" else HEAT_SOURCE,
        rate.notes,
    )  # fmt: skip


def mix_working(paint: PaintPlan, white: White, area_m2: float) -> Working:
    """How much mix the white takes, all coats.

    Parameters
    ----------
    paint : PaintPlan
        The batches and their sums.
    white : White
        Coats, loss and tank.
    area_m2 : float
        Area to paint [m2].

    Returns
    -------
    Working
        The figure with its inputs [L].

    References
    ----------
    Volume balance.
    """
    return Working(
        "mix to make",
        "area x coats x mix of one coat x (1 + lost beside the ice) + stays in the tank",
        (
            Given("area", area_m2, "m2", "worked out"),
            Given("coats", white.coats, "1", "quoted"),
            Given("mix of one coat", white.per_coat_l_m2, "L/m2", path="white.per_coat"),
            Given("lost beside the ice", white.loss_percent, "%", path="white.loss"),
            Given("stays in the tank", white.heel_l, "L", path="white.heel"),
        ),
        paint.on_ice_l + paint.lost_l + paint.left_over_l,
        "L",
        BALANCE,
        paint.notes,
    )


def powder_working(batch: Batch, white: White) -> Working:
    """How much powder goes into one batch."""
    of_water = white.ratio.per == "water"
    litres = batch.water_l if of_water else batch.mix_l
    return Working(
        f"powder of batch {batch.batch}",
        f"litres of {white.ratio.per} x powder in a litre of {white.ratio.per}",
        (
            Given("measured water" if of_water else "mix", litres, "L", "worked out"),
            Given(f"powder in a litre of {white.ratio.per}", white.ratio.value_kg_l, "kg/L",
                  path="white.ratio"),
        ),
        batch.powder_kg,
        "kg",
        BALANCE,
    )  # fmt: skip
