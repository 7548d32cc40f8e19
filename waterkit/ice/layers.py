"""Layers: what goes on the slab, step by step: its litres, its thickness, its hours."""

import datetime as dt
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from waterkit.errors import FieldError
from waterkit.ice import paint
from waterkit.ice.freezing import ice_mm
from waterkit.ice.paint import Boom, White
from waterkit.ice.sheet import Rink, floor_area_m2, sheets_area_m2
from waterkit.quantities import DEPTH, HOURS, PERCENT, SMALL_VOLUME, TEMPERATURE, VOLUME
from waterkit.water.limits import Use
from waterkit.working import Note

Kind = Literal[
    "wash", "pull-down", "mist", "edges", "spray", "flood", "white", "seal",
    "lay-out", "hacks", "houses", "lines", "scrape", "pebble",
]  # fmt: skip
DrawsFrom = Literal["feed", "softened", "permeate", "DI outlet", "tank"]


@dataclass(frozen=True, slots=True)
class Area:
    """What a step covers: all sheets, the whole floor, or a figure [m2]."""

    of: Literal["sheets", "floor", "figure"] = "sheets"
    figure_m2: float | None = None


@dataclass(frozen=True, slots=True)
class LayerStep:
    """One row of the layer plan.

    Parameters
    ----------
    step : str
        Name of the step.
    kind : str
        What is done.
    use : str or None
        Whose water limits hold; None: by kind.
    draws_from : str
        Where the water is taken.
    area : Area
        What the step covers [m2].
    depth_per_pass_mm : float or None
        Water that each pass puts on [mm].
    litres_per_pass_and_sheet_l : float or None
        The same as a volume for each sheet [L].
    passes : int
        Number of passes.
    loss_percent : float
        Water lost beside the ice, on top of what reaches it [%].
    minimum_wait_h : float
        At least this long between passes, and after the last [h].
    surface_at_most_c : float or None
        Warmest surface on which the step may begin [degC].
    water_c : float or None
        Temperature of the water put on; None: the supply's [degC].
    needs : tuple of str
        Steps that must be finished; empty: the row above.
    people : int or None
        Crew for the step.
    done_on : date or None
        When it was finished; such a row is the past.
    litres_used_l : float or None
        What it really took [L].
    """

    step: str
    kind: Kind
    use: Use | None = None
    draws_from: DrawsFrom = "tank"
    area: Area = Area()
    depth_per_pass_mm: Annotated[float, DEPTH] | None = None
    litres_per_pass_and_sheet_l: Annotated[float, SMALL_VOLUME] | None = None
    passes: int = 1
    loss_percent: Annotated[float, PERCENT] = 0.0
    minimum_wait_h: Annotated[float, HOURS] = 0.0
    surface_at_most_c: Annotated[float, TEMPERATURE] | None = None
    water_c: Annotated[float, TEMPERATURE] | None = None
    needs: tuple[str, ...] = ()
    people: int | None = None
    done_on: dt.date | None = None
    litres_used_l: Annotated[float, VOLUME] | None = None


@dataclass(frozen=True, slots=True)
class Practice:
    """What is usual for a kind of step: all of it common practice, no source.

    Whose water limits hold (None: any water will do), what hose, can or hand sprayer puts on [L/h],
    the water of one pass [mm], or, where a depth means nothing, for one sheet [L]; and whether a
    spray boom does it where there is one.
    """

    use: Use | None = None
    flow_l_h: float | None = None
    depth_mm: float | None = None
    litres_l: float | None = None
    boom: bool = False

    @property
    def wet(self) -> bool:
        """Whether the kind puts water on."""
        return self.flow_l_h is not None


# fmt: off
PRACTICE: dict[Kind, Practice] = {
    "wash":      Practice(None, 600.0, litres_l=12.5),
    "pull-down": Practice(),
    "mist":      Practice("mist", 720.0, depth_mm=0.065, boom=True),
    "edges":     Practice("mist", 120.0, litres_l=2.5),
    "spray":     Practice("flood", 900.0, depth_mm=0.35),
    "flood":     Practice("flood", 1620.0, depth_mm=2.15),
    "white":     Practice("white", 840.0, boom=True),
    "seal":      Practice("seal", 720.0, depth_mm=0.065, boom=True),
    "lay-out":   Practice(),
    "hacks":     Practice("flood", 60.0, litres_l=3.5),
    "houses":    Practice("seal", 60.0, litres_l=10.0),
    "lines":     Practice("seal", 60.0, litres_l=10.0),
    "scrape":    Practice(),
    "pebble":    Practice("pebble", 270.0, litres_l=5.0),
}
# fmt: on
DEFAULT_USE: dict[Kind, Use | None] = {kind: usual.use for kind, usual in PRACTICE.items()}


@dataclass(frozen=True, slots=True)
class StepWater:
    """Water of one step, all passes and all sheets.

    Parameters
    ----------
    step, kind, use : str, str, str or None
        The step, what is done, and whose water limits hold.
    litres_l : float
        Water that reaches the ice, or the slab [L].
    loss_l : float
        Water lost beside it; of white also the water in the last heel [L].
    applied_l : float
        What leaves hose or boom: water, or mix for white [L].
    passes : int
        Number of passes; of white its coats.
    area_m2 : float
        Area covered [m2].
    freezes : bool
        Whether it stays as ice; wash water does not.
    notes : tuple of Note
        What was assumed.
    """

    step: str
    kind: Kind
    use: Use | None
    litres_l: float
    loss_l: float
    applied_l: float
    passes: int
    area_m2: float
    freezes: bool = True
    notes: tuple[Note, ...] = ()

    @property
    def drawn_l(self) -> float:
        """Water drawn from tank or tap [L]."""
        return self.litres_l + self.loss_l

    @property
    def litres_per_pass_l(self) -> float:
        """Water that reaches the ice in one pass [L]."""
        return self.litres_l / self.passes

    @property
    def depth_mm_water(self) -> float:
        """Depth of water that stays, all passes [mm]."""
        return self.litres_l / self.area_m2 if self.freezes else 0.0

    @property
    def ice_mm(self) -> float:
        """Thickness of ice, all passes [mm]."""
        return float(ice_mm(self.depth_mm_water))


@dataclass(frozen=True, slots=True)
class StepHours:
    """Time that one step takes [h]: putting on, freezing and waiting.

    ``freeze_h`` is what the plant needs for the water of all passes, ``wait_per_pass_h`` the longer
    of its share for one pass and the step's minimum wait. ``total_h`` is putting on and all waits.
    """

    apply_h: float
    freeze_h: float
    wait_per_pass_h: float
    total_h: float


def covered_area_m2(area: Area, rink: Rink) -> float:
    """Area that a step covers [m2]."""
    if area.figure_m2 is not None and area.of == "figure":
        return area.figure_m2
    return floor_area_m2(rink) if area.of == "floor" else sheets_area_m2(rink)


def check_step(step: LayerStep) -> None:
    """Refuse a step whose figures contradict each other.

    Raises
    ------
    FieldError
        Depth and litres both given, water on a step that takes none or takes it from ``[white]``,
        no pass, an area without a figure, litres used by a step that is not done.
    """
    given = [step.depth_per_pass_mm, step.litres_per_pass_and_sheet_l]
    has_water = any(value is not None for value in given)
    if None not in given:
        raise FieldError(
            "depth per pass and litres per pass and sheet are both given",
            "give one of them and leave the other empty",
            "depth per pass",
        )
    if has_water and step.kind == "white":
        hint = "leave both empty; set per_coat and coats in [white]"
        raise FieldError("a white row takes its litres from [white]", hint, "depth per pass")
    if not PRACTICE[step.kind].wet and (has_water or step.litres_used_l):
        hint = "leave depth and litres empty, or choose another kind"
        raise FieldError(f"a step of kind {step.kind!r} puts no water on", hint, "kind")
    if step.passes < 1:
        raise FieldError(f"{step.passes} passes", "a step has one pass or more", "passes")
    if step.area.of == "figure" and not (step.area.figure_m2 or 0.0) > 0.0:
        raise FieldError("an area without a figure", "write 'sheets', 'floor' or 12 m2", "area")
    if step.litres_used_l is not None and step.done_on is None:
        hint = "write the day in 'done on'"
        raise FieldError("litres used by a step that is not done", hint, "litres used")


def check_layers(steps: tuple[LayerStep, ...]) -> None:
    """Refuse a plan that paints twice: all coats of ``[white]`` belong to one row.

    Raises
    ------
    FieldError
        For a second white row.
    """
    white = [step.step for step in steps if step.kind == "white"]
    if len(white) > 1:
        hint = "keep one; its coats stand in [white]"
        raise FieldError(f"more than one white row: {', '.join(map(repr, white))}", hint, "kind")


def step_water(step: LayerStep, rink: Rink, white: White) -> StepWater:
    """Water of one step: what reaches the ice, what is lost, and the thickness it makes.

    V = depth x area x passes, or litres x sheets x passes; loss on top

    A white row takes mix, coats and loss from ``white`` and counts the water in them. Where a row
    gives neither depth nor litres, common practice stands in, with a note. A done row's litres used
    replace what was planned to be drawn, shared between ice and loss as planned.

    Parameters
    ----------
    step : LayerStep
        The row of the plan.
    rink : Rink
        Sheets and floor.
    white : White
        The white layer.

    Returns
    -------
    StepWater
        Litres, thickness and notes.

    Raises
    ------
    FieldError
        See :func:`check_step` and :func:`waterkit.ice.paint.check_white`.

    References
    ----------
    Volume balance; assumed depths and litres: common practice, no source.
    """
    check_step(step)
    area = covered_area_m2(step.area, rink)
    if step.kind == "white":
        planned = _white_water(step, area, white)
    else:
        planned = _plain_water(step, area, rink)
    return planned if step.litres_used_l is None else _as_used(planned, step.litres_used_l)


def _white_water(step: LayerStep, area_m2: float, white: White) -> StepWater:
    paint.check_white(white)
    share = float(paint.water_per_mix(white.ratio, white.powder_density_kg_l))
    need = paint.mix_need(white, area_m2)
    notes: tuple[Note, ...] = ()
    if step.passes not in {1, white.coats}:
        values = {"step": step.step, "passes": step.passes, "coats": white.coats}
        notes = (Note("white-coats-not-passes", values),)
    return StepWater(
        step.step,
        step.kind,
        step.use or DEFAULT_USE[step.kind],
        litres_l=need.on_ice_l * share,
        loss_l=(need.lost_l + need.left_over_l) * share,
        applied_l=need.sprayed_l,
        passes=white.coats,
        area_m2=area_m2,
        notes=notes,
    )


def _plain_water(step: LayerStep, area_m2: float, rink: Rink) -> StepWater:
    depth, per_sheet, notes = _water_of_pass(step)
    per_pass = area_m2 * (depth or 0.0) + rink.sheets * (per_sheet or 0.0)
    litres = per_pass * step.passes
    loss = litres * step.loss_percent / 100.0
    return StepWater(
        step.step,
        step.kind,
        step.use or DEFAULT_USE[step.kind],
        litres_l=litres,
        loss_l=loss,
        applied_l=litres + loss,
        passes=step.passes,
        area_m2=area_m2,
        freezes=step.kind != "wash",
        notes=notes,
    )


def _water_of_pass(step: LayerStep) -> tuple[float | None, float | None, tuple[Note, ...]]:
    """Depth [mm] or litres for a sheet [L] of one pass, as given or as usual."""
    depth, litres = step.depth_per_pass_mm, step.litres_per_pass_and_sheet_l
    usual = PRACTICE[step.kind]
    if depth is not None or litres is not None or not usual.wet:
        return depth, litres, ()
    amount, unit = (usual.depth_mm, "mm") if usual.depth_mm is not None else (usual.litres_l, "L")
    values = {"step": step.step, "kind": step.kind, "amount": amount, "unit": unit}
    return usual.depth_mm, usual.litres_l, (Note("layer-water-assumed", values),)


def _as_used(planned: StepWater, used_l: float) -> StepWater:
    """A done step: the litres that it really took, shared between ice and loss as planned."""
    drawn = planned.drawn_l
    on_ice = used_l * planned.litres_l / drawn if drawn else used_l
    applied = planned.applied_l * used_l / drawn if drawn else used_l
    return replace(planned, litres_l=on_ice, loss_l=used_l - on_ice, applied_l=applied)


def step_hours(
    water: StepWater, step: LayerStep, plant_rate_l_h: float, boom: Boom | None = None
) -> StepHours:
    """Time of one step: what hose or boom takes, then after each pass freezing or the minimum wait.

    t = V / flow + passes x max(V_pass / plant rate, minimum wait)

    Parameters
    ----------
    water : StepWater
        Its litres.
    step : LayerStep
        Its minimum wait.
    plant_rate_l_h : float
        Water that the whole plant freezes in an hour, above 0 [L/h].
    boom : Boom or None
        The spray boom, for mist, seal and white.

    Returns
    -------
    StepHours
        Putting on, freezing, waiting, and the sum.

    Notes
    -----
    One hose, or one boom, at a time. The cold of the slab is not counted, which makes a single
    flood look slower than it is, and the way of the heat through the ice is not counted, which
    makes thick floods look faster.

    References
    ----------
    Heat balance; flow of a hose: common practice, no source.
    """
    flow = _flow_l_h(water.kind, boom)
    apply = water.applied_l / flow if flow else 0.0
    freeze = water.litres_l / plant_rate_l_h if water.freezes else 0.0
    wait = max(freeze / water.passes, step.minimum_wait_h)
    return StepHours(apply, freeze, wait, apply + water.passes * wait)


def _flow_l_h(kind: Kind, boom: Boom | None) -> float | None:
    if boom is not None and PRACTICE[kind].boom:
        return boom.nozzles * boom.nozzle_flow_l_h
    return PRACTICE[kind].flow_l_h
