"""Spraying white: mix of one pass, passes and pace for a coat, its time, and the next coat."""

from dataclasses import dataclass, replace
from math import ceil

from waterkit.errors import FieldError
from waterkit.ice.freezing import SECONDS_PER_HOUR
from waterkit.ice.paint import Boom, White
from waterkit.working import Note

USUAL_PACE_M_S = (0.8, 1.0)
"""Walking pace behind a boom: common practice, no source."""
ROUNDING = 1e-6
"""So little of a boom's width takes no lane of its own."""


@dataclass(frozen=True, slots=True)
class CoatSpray:
    """How one coat of white is put on.

    Parameters
    ----------
    lanes : int
        Lanes beside each other, as many as the boom needs to reach all of the width.
    lane_m : float
        The part of the width that falls to one lane; the boom sprays at least as wide [m].
    pass_l_m2 : float
        Mix that one pass at the club's pace leaves on the ice [L/m2].
    pass_l : float
        Mix that leaves the boom in that pass, all of the area [L].
    passes : int
        Passes for a coat.
    pace_m_s : float
        Pace at which just these passes make the coat [m/s].
    single_pace_m_s : float
        Pace at which one pass makes the coat [m/s].
    coat_l : float
        Mix that leaves the boom in a coat [L].
    spray_h : float
        Spraying of a coat, without turning and walking back [h].
    frozen_h : float
        From there until the plant has taken the heat of the coat [h].
    notes : tuple of Note
        Remarks.
    """

    lanes: int
    lane_m: float
    pass_l_m2: float
    pass_l: float
    passes: int
    pace_m_s: float
    single_pace_m_s: float
    coat_l: float
    spray_h: float
    frozen_h: float
    notes: tuple[Note, ...] = ()

    @property
    def next_coat_h(self) -> float:
        """From the start of a coat to the start of the next [h]."""
        return self.spray_h + self.frozen_h


def boom_flow_l_h(boom: Boom) -> float:
    """What all nozzles of the boom put out [L/h]."""
    return boom.nozzles * boom.nozzle_flow_l_h


def boom_pass_l_m2(boom: Boom, loss_percent: float = 0.0) -> float:
    """Mix or water that one pass of the boom leaves on the ice.

    q = n Q / (3600 w v (1 + loss / 100))

    Parameters
    ----------
    boom : Boom
        Width, nozzles, flow and pace.
    loss_percent : float
        Lost beside the ice, on top of what reaches it [%].

    Returns
    -------
    float
        On one square metre; 1 L/m2 is a depth of 1 mm [L/m2].

    Raises
    ------
    FieldError
        If boom or pace is nothing.

    Notes
    -----
    Lanes that overlap get more where they do.

    Examples
    --------
    >>> round(boom_pass_l_m2(Boom(4.0, 14, 60.0, 0.9)), 3)
    0.065

    References
    ----------
    Volume balance.
    """
    check_boom(boom)
    per_second = boom_flow_l_h(boom) / SECONDS_PER_HOUR
    return per_second / (boom.width_m * boom.pace_m_s * (1.0 + loss_percent / 100.0))


def spray_coat(
    white: White, boom: Boom, area_m2: float, width_m: float, wait_h: float
) -> CoatSpray:
    """One coat of white with the boom: lanes, passes, pace, time.

    lanes = width / boom, rounded up; passes = coat / pass, rounded; pace = passes x (pass / coat) x
    the club's pace

    Parameters
    ----------
    white : White
        Mix of one coat, and what is lost beside the ice.
    boom : Boom
        Width, nozzles, flow and pace.
    area_m2 : float
        Area of the coat [m2].
    width_m : float
        All of its width across the lanes, above 0 [m].
    wait_h : float
        Until a coat is frozen: the wait of one pass in the layer plan [h].

    Returns
    -------
    CoatSpray
        Lanes, passes, pace, litres and hours.

    Raises
    ------
    FieldError
        If boom or pace is nothing.

    Notes
    -----
    The boom sprays all the time: turning, refilling and walking back come on top. Lanes are spread
    evenly, so they overlap where the boom is wider than their share.

    References
    ----------
    Volume balance.
    """
    check_boom(boom)
    lanes = max(1, ceil(width_m / boom.width_m - ROUNDING))
    lane = replace(boom, width_m=width_m / lanes)
    one_pass = boom_pass_l_m2(lane, white.loss_percent)
    passes = max(1, round(white.per_coat_l_m2 / one_pass))
    single = boom.pace_m_s * one_pass / white.per_coat_l_m2
    sprayed = 1.0 + white.loss_percent / 100.0
    coat_l = area_m2 * white.per_coat_l_m2 * sprayed
    return CoatSpray(
        lanes=lanes,
        lane_m=lane.width_m,
        pass_l_m2=one_pass,
        pass_l=area_m2 * one_pass * sprayed,
        passes=passes,
        pace_m_s=passes * single,
        single_pace_m_s=single,
        coat_l=coat_l,
        spray_h=coat_l / boom_flow_l_h(boom),
        frozen_h=wait_h,
        notes=_pace_notes(passes * single),
    )


def check_boom(boom: Boom) -> None:
    """Refuse a boom that sprays nothing, or stands still.

    Raises
    ------
    FieldError
        No nozzle, no flow, no width, no pace.
    """
    for value, field, message, hint in (
        (boom.nozzles, "nozzles", f"{boom.nozzles} nozzles", "count them"),
        (boom.nozzle_flow_l_h, "nozzle_flow", "nozzles without flow",
         "one nozzle into a jug for a minute"),
        (boom.width_m, "width", "a boom without width", "measure the spray on the ice"),
        (boom.pace_m_s, "pace", "a boom that stands still",
         "length of a sheet divided by the seconds it takes"),
    ):  # fmt: skip
        if value <= 0:
            raise FieldError(message, hint, field)


def _pace_notes(pace_m_s: float) -> tuple[Note, ...]:
    low, high = USUAL_PACE_M_S
    if 0.5 * low <= pace_m_s <= 1.5 * high:
        return ()
    return (Note("boom-pace-unusual", {"pace_m_s": pace_m_s, "low_m_s": low, "high_m_s": high}),)
