"""The painting day of a plan: the white row that is to come, its water, batches and checks."""

from dataclasses import dataclass

from waterkit.club.schema import Club
from waterkit.ice.batches import PaintPlan, plan_paint
from waterkit.ice.cover import Cover, white_cover
from waterkit.ice.spraying import CoatSpray, spray_coat
from waterkit.season.build import PlannedStep
from waterkit.working import Note

TO_ACT_ON = ("white-too-few-coats", "markings-do-not-fit")


@dataclass(frozen=True, slots=True)
class Painting:
    """What the painting day needs to know beside its batches.

    Parameters
    ----------
    step : PlannedStep
        The white row that is to come.
    sealing : PlannedStep or None
        The row that seals the white, with its hours.
    water_c : float
        Water that the powder goes into [degC].
    cover : Cover
        Whether the coats hide the slab.
    spray : CoatSpray
        How a coat is put on.
    """

    step: PlannedStep
    sealing: PlannedStep | None
    water_c: float
    cover: Cover
    spray: CoatSpray

    @property
    def area_m2(self) -> float:
        """Area of one coat [m2]."""
        return self.step.water.area_m2

    @property
    def notes(self) -> tuple[Note, ...]:
        """Remarks on cover and spraying."""
        return (*self.cover.notes, *self.spray.notes)


def plan_painting(club: Club, steps: tuple[PlannedStep, ...]) -> Painting | None:
    """The painting day; None where no white is to come."""
    to_come = (step for step in steps if step.row.kind == "white" and not step.done)
    white = next((step for step in to_come if step.water.area_m2 > 0), None)
    if white is None:
        return None
    water_c = _water_c(club, white)
    area_m2, wait_h = white.water.area_m2, white.hours.wait_per_pass_h
    width_m = area_m2 / club.rink.sheet_length_m
    spray = spray_coat(club.white, club.boom, area_m2, width_m, wait_h)
    return Painting(white, _sealing(steps, white), water_c, white_cover(club.white), spray)


def paint_batches(club: Club, painting: Painting | None, bag_kg: float | None) -> PaintPlan | None:
    """The white in batches; None where none is to come."""
    if painting is None:
        return None
    return plan_paint(club.white, painting.area_m2, bag_kg, painting.water_c)


def _water_c(club: Club, white: PlannedStep) -> float:
    if white.row.water_c is not None:
        return white.row.water_c
    day = white.start.date() if white.start else club.season.first_draw
    return club.source.temperature_on(day)


def _sealing(steps: tuple[PlannedStep, ...], white: PlannedStep) -> PlannedStep | None:
    """The first row of seal that needs the white, else the first one below it."""
    seals = [step for step in steps if step.row.kind == "seal" and not step.done]
    asking = [step for step in seals if white.row.step in step.row.needs]
    below = [step for step in seals if steps.index(step) > steps.index(white)]
    return next(iter((*asking, *below)), None)
