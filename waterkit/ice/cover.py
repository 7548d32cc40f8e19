"""Coats that hide the slab, from the club's test patch, with the range its readings leave."""

from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, Literal

import numpy as np

from waterkit.errors import FieldError
from waterkit.ice.hiding import (
    HIDDEN,
    brightest,
    contrast_ratio,
    from_one_and_three_coats,
    from_two_grounds,
    lightest_of_three,
    lightest_over,
    scattering_to_hide,
)
from waterkit.ice.paint import White, check_white, powder_per_mix
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

GRAMS_PERCENT = 5.0
"""How far the grams on a patch may be off: assumed."""
LEAST_REFLECTANCE = 0.70
"""The standards hold for whites of at least this reflectance."""
ALMOST_HIDDEN, ALMOST_BARE = 0.95, 0.05
"""A patch whose readings are that much alike is thick; one that adds so little is thin: assumed."""
_FULL = 0.999
_ROUNDING = 1e-9

Outcome = Literal["told", "cannot tell", "no patch"]


@dataclass(frozen=True, slots=True)
class Range:
    """A figure, and between what it lies."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Cover:
    """Whether the white hides the slab.

    Parameters
    ----------
    outcome : str
        Told by the patch; cannot tell, because its readings leave no end to the coats, or do not
        fit each other; no patch.
    coat_g_m2 : float
        Powder that one coat puts on a square metre [g/m2].
    coats : int or None
        Coats to a contrast ratio of 0.98 between the slab and a ground of 80 %.
    coats_low, coats_high : int or None
        The fewest and the most that the patch's readings leave open.
    grams_m2 : Range or None
        Powder for that on a square metre [g/m2].
    contrast : Range or None
        Contrast ratio of the coats that are planned.
    scattering_m2_g : Range or None
        Scattering coefficient of the powder [m2/g].
    absorbed : Range or None
        Its absorption by scattering.
    notes : tuple of Note
        Remarks.
    """

    outcome: Outcome
    coat_g_m2: float
    coats: int | None = None
    coats_low: int | None = None
    coats_high: int | None = None
    grams_m2: Range | None = None
    contrast: Range | None = None
    scattering_m2_g: Range | None = None
    absorbed: Range | None = None
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class _Readings:
    """Two readings of a patch with their grounds, its grams [g/m2], and the slab, all as shares."""

    first: "Numeric"
    first_ground: "Numeric"
    second: "Numeric"
    second_ground: "Numeric"
    slab: "Numeric"
    grams_m2: "Numeric"


def white_cover(white: White) -> Cover:
    """Coats that hide the slab, as far as the club's test patch tells.

    Parameters
    ----------
    white : White
        Coats, ratio, patch and slab.

    Returns
    -------
    Cover
        Coats with their range, or why they cannot be told.

    Raises
    ------
    FieldError
        See :func:`check_patch` and :func:`waterkit.ice.paint.check_white`.

    Notes
    -----
    The range is the widest that readings within their error, and grams within 5 %, leave. The patch
    has to be wet or frozen: dry powder scatters more than powder in ice.

    References
    ----------
    Kubelka (1948), see :mod:`waterkit.ice.hiding`; contrast ratio 0.98: ISO 6504-1, ASTM D2805.
    """
    check_white(white)
    check_patch(white)
    coat_g_m2 = white.per_coat_l_m2 * 1e3 * float(
        powder_per_mix(white.ratio, white.powder_density_kg_l)
    )  # fmt: skip
    readings = _readings(white)
    if readings is None:
        return Cover("no patch", coat_g_m2, notes=(Note("white-no-patch"),))
    around = _corners(readings, white)
    with np.errstate(all="ignore"):  # corners that no layer could give end in infinity, told below
        told = _worked_out(white, readings, coat_g_m2)
        corners = _worked_out(white, around, coat_g_m2)
        impossible = np.all(around.second > _lightest(white, around) + _ROUNDING)
    scattering, absorbed, grams, contrast = (
        Range(float(one), float(np.min(many)), float(np.max(many)))
        for one, many in zip(told, corners, strict=True)
    )
    if impossible:
        values = {"most_percent": 100.0 * float(_lightest(white, readings))}
        return Cover("cannot tell", coat_g_m2, notes=(Note("white-patch-impossible", values),))
    if not (scattering.low > 0.0 and np.isfinite(scattering.high)):
        return Cover("cannot tell", coat_g_m2, notes=(_left_open(white, readings),))
    coats, low, high = (
        ceil(each / coat_g_m2 - 1e-9) for each in (grams.value, grams.low, grams.high)
    )
    notes = _cover_notes(white, absorbed.value, low, high)
    return Cover("told", coat_g_m2, coats, low, high, grams, contrast, scattering, absorbed, notes)


def check_patch(white: White) -> None:
    """Refuse a test patch that is not complete, or that contradicts itself.

    Raises
    ------
    FieldError
        One reading without the other, both kinds of patch, no grams, a patch darker than its black
        panel or darker over white than over black, three coats darker than one, panels of one
        colour.
    """
    pairs = (
        ("patch_black", white.patch_black_percent, "patch_white", white.patch_white_percent),
        ("patch_one_coat", white.patch_one_coat_percent,
         "patch_three_coats", white.patch_three_coats_percent),
    )  # fmt: skip
    for darker, dark, lighter, light in pairs:
        if (dark is None) != (light is None):
            missing = darker if dark is None else lighter
            raise FieldError(
                f"{missing} is missing", f"{darker} and {lighter} go together", missing
            )
        if dark is None or light is None:
            continue
        if not (white.patch_grams_g or 0.0) > 0.0:
            hint = "weigh the panel before and after, divide by its area"
            raise FieldError("a patch without its powder", hint, "patch_grams")
        if light < dark:
            message = f"{lighter}, {light:g} %, is darker than {darker}, {dark:g} %"
            raise FieldError(message, "change them over, or read the patch again", lighter)
        if dark <= white.panel_black_percent:
            message = f"{darker}, {dark:g} %, is not lighter than the bare black panel"
            raise FieldError(message, "read the patch again; panel_black is the bare panel", darker)
    if white.patch_black_percent is not None and white.patch_one_coat_percent is not None:
        hint = "patch_grams belongs to one of them: leave the readings of the other out"
        raise FieldError("two kinds of patch", hint, "patch_one_coat")
    if white.panel_white_percent <= white.panel_black_percent:
        hint = "panel_black is the dark one"
        raise FieldError("the white panel is not lighter than the black one", hint, "panel_white")


def _readings(white: White) -> _Readings | None:
    grams, black = white.patch_grams_g, white.panel_black_percent / 100.0
    slab = (white.slab_reflectance_percent or 0.0) / 100.0
    if grams is None:
        return None
    dark, light = white.patch_black_percent, white.patch_white_percent
    if dark is not None and light is not None:
        ground = white.panel_white_percent / 100.0
        return _Readings(dark / 100.0, black, light / 100.0, ground, slab, grams)
    one, three = white.patch_one_coat_percent, white.patch_three_coats_percent
    if one is not None and three is not None:
        return _Readings(one / 100.0, black, three / 100.0, black, slab, grams)
    return None


def _corners(readings: _Readings, white: White) -> _Readings:
    """Every combination of the lowest and the highest that each reading may stand for."""
    error = white.reflectance_error_percent / 100.0
    one_panel = white.patch_black_percent is None or white.patch_white_percent is None
    ends = [
        np.clip([value - error, value + error], 0.0, _FULL)
        for value in (readings.first, readings.first_ground, readings.second)
    ]
    second_ground = np.clip(readings.second_ground + np.array([-error, error]), 0.0, _FULL)
    ends.append(np.zeros(1) if one_panel else second_ground)
    known = white.slab_reflectance_percent is not None
    ends.append(np.clip(readings.slab + np.array([-error, error]) * known, 0.0, _FULL))
    ends.append(readings.grams_m2 * (1.0 + np.array([-1.0, 1.0]) * GRAMS_PERCENT / 100.0))
    first, ground, second, other, slab, grams = (a.ravel() for a in np.meshgrid(*ends))
    return _Readings(first, ground, second, ground if one_panel else other, slab, grams)


def _worked_out(
    white: White, readings: _Readings, coat_g_m2: float
) -> "tuple[Numeric, Numeric, Numeric, Numeric]":
    """Scattering per gram, absorption, grams that hide the slab, contrast ratio as planned."""
    first, second = readings.first, readings.second
    if white.patch_black_percent is None or white.patch_white_percent is None:
        patch, absorbed = from_one_and_three_coats(first, second, readings.first_ground)
    else:
        patch, absorbed = from_two_grounds(
            first, readings.first_ground, second, readings.second_ground
        )
    scattering = patch / readings.grams_m2
    needed = scattering_to_hide(absorbed, HIDDEN, readings.slab) / scattering
    planned = contrast_ratio(scattering * coat_g_m2 * white.coats, absorbed, readings.slab)
    return scattering, absorbed, needed, np.minimum(planned, 1.0)


def _lightest(white: White, readings: _Readings) -> "Numeric":
    """The most that the second reading can be, if the first is right: nothing absorbs."""
    if white.patch_black_percent is None:
        return lightest_of_three(readings.first, readings.first_ground)
    return lightest_over(readings.first, readings.first_ground, readings.second_ground)


def _left_open(white: White, readings: _Readings) -> Note:
    """Why a patch leaves the coats open: too thin, too thick, or read too roughly."""
    if readings.first - readings.first_ground <= ALMOST_BARE:
        return Note("white-patch-too-thin")
    if readings.first >= ALMOST_HIDDEN * readings.second:
        return Note("white-patch-too-thick")
    return Note("white-patch-read-roughly", {"error_percent": white.reflectance_error_percent})


def _cover_notes(white: White, absorbed: float, low: int, high: int) -> tuple[Note, ...]:
    notes = [Note("white-patch-as-ice")]
    if white.slab_reflectance_percent is None:
        notes.append(Note("slab-taken-as-black"))
    if high == 0:
        notes.append(Note("slab-as-light-as-ground"))
    elif not low <= white.coats <= high:
        values = {"coats": white.coats, "would_do": (low, high)}
        few = white.coats < low
        notes.append(Note("white-too-few-coats" if few else "white-more-coats-than-needed", values))
    if brightest(absorbed) < LEAST_REFLECTANCE:
        percent = 100.0 * float(brightest(absorbed))
        notes.append(Note("white-too-grey-for-method", {"reflectance_percent": percent}))
    return tuple(notes)
