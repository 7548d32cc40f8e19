"""Checking a batch: first the bags that went in, then a jug of mix beside the same jug of water."""

from dataclasses import dataclass
from math import hypot, sqrt
from typing import Literal

from waterkit.errors import FieldError
from waterkit.ice.batches import Batch
from waterkit.ice.paint import (
    Ratio,
    White,
    mix_density_kg_l,
    powder_per_mix,
    ratio_of,
    water_per_mix,
)
from waterkit.water.density import water_density_kg_l
from waterkit.working import Note, Source

GUM = Source(
    "gum",
    "JCGM 100:2008, Evaluation of measurement data: Guide to the expression of uncertainty in "
    "measurement, 4.3.7 (bounds), 5.1.2 (combination), 6.2 (expanded, k = 2)",
    "memory",
)
TOLERANCE_PERCENT = 5.0
"""Powder over litres may differ so much from the plan: common practice, no source."""
JUG_PERCENT = 1.0
"""How far a jug's own litres may be off: assumed."""
TEMPERATURE_OFF_C = 2.0
"""How much warmer or colder than the water the mix may be: assumed."""
COVERAGE = 2.0
BELIEVED = (0.5, 2.05)
"""Ratios by the plan's outside of which bags or weighings, not the mix, are wrong: assumed; one bag
put in twice is just inside."""

Outcome = Literal["as planned", "thin", "thick", "far off", "cannot tell"]


@dataclass(frozen=True, slots=True)
class JugTest:
    """What the same jug shows with water and with mix.

    Parameters
    ----------
    expected_g : float
        By how much the mix of the plan weighs more than the water [g].
    uncertain_g : float
        How far the weighed difference may be off to either side (k = 2) [g].
    low_g, high_g : float
        Differences between which nothing needs doing [g].
    uncertain_percent : float
        The same uncertainty, of the ratio [%].
    tells : bool
        Whether the jug can tell that a batch is as planned, within 5 %.
    """

    expected_g: float
    uncertain_g: float
    low_g: float
    high_g: float
    uncertain_percent: float
    tells: bool


@dataclass(frozen=True, slots=True)
class Correction:
    """What each gram tells that the mix weighs less or more than it should: powder, or water."""

    powder_kg: float
    water_l: float


@dataclass(frozen=True, slots=True)
class BatchReading:
    """What was found out about a batch.

    Parameters
    ----------
    outcome : str
        As planned, thin, thick, so far off that the reading is doubted, or cannot tell.
    ratio_kg_l, low_kg_l, high_kg_l : float
        The ratio that was read, and between what it lies, counted as the plan counts it [kg/L].
    add_powder_kg : float
        Powder that brings a thin batch to the ratio [kg].
    add_water_l : float
        Water that brings a thick batch to the ratio [L].
    drum_l : float
        Mix that goes into a clean drum before that, where the tank has no room for it all [L].
    drum_share : float
        The part of what is added that goes into the drum, so that both come to the ratio [1].
    notes : tuple of Note
        Remarks.
    """

    outcome: Outcome
    ratio_kg_l: float
    low_kg_l: float
    high_kg_l: float
    add_powder_kg: float = 0.0
    add_water_l: float = 0.0
    drum_l: float = 0.0
    drum_share: float = 0.0
    notes: tuple[Note, ...] = ()


def read_powder(white: White, batch: Batch, powder_kg: float) -> BatchReading:
    """What the bags tell: the powder that really went in, against the batch's card.

    Parameters
    ----------
    white : White
        Ratio and tank.
    batch : Batch
        The batch as planned; its water is taken as measured.
    powder_kg : float
        Bags emptied and powder weighed in [kg].

    Returns
    -------
    BatchReading
        Ratio of what was added, and what puts it right.

    Raises
    ------
    FieldError
        If no powder went in.

    Notes
    -----
    What was in the tank before is taken to be at the ratio, and is not corrected. Below half of the
    plan, or above double, the count is doubted and nothing is to be added.

    References
    ----------
    Mass balance; the tolerance of 5 %: common practice, no source.
    """
    if powder_kg <= 0:
        raise FieldError("no powder went in", "count the empty bags", "powder")
    solid_l = powder_kg / white.powder_density_kg_l
    mixed_l = batch.water_l + solid_l
    litres = batch.water_l if white.ratio.per == "water" else mixed_l
    ratio = powder_kg / litres
    return _judged(white, mixed_l, batch.in_tank_l, (ratio, ratio, ratio))


def jug_test(white: White, water_c: float = 10.0) -> JugTest:
    """What scale and jug should show, and how much of it they can tell.

    dm = V (rho_mix - rho_water)

    Parameters
    ----------
    white : White
        Powder, ratio, jug and scale.
    water_c : float
        Temperature of water and mix, 0 to 40 [degC].

    Returns
    -------
    JugTest
        Expected difference, its uncertainty, and what can be told.

    Raises
    ------
    FieldError
        If the club has no jug or no scale, or they hold and resolve nothing.

    Notes
    -----
    Counted are the scale's step in both weighings, the jug filled to the same mark twice, the jug's
    own litres, and mix that is 2 degC off; each as a bound, combined to twice the standard
    uncertainty. Air in the mix is not counted: it makes a batch look thin.

    References
    ----------
    JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7, 5.1.2, 6.2; from
    memory. How well a jug is filled: common practice, no source.
    """
    _check_jug(white)
    expected = _difference_g(white, white.ratio.value_kg_l, water_c)
    uncertain = _uncertain_g(white, expected, water_c)
    share = TOLERANCE_PERCENT / 100.0
    low, high = (
        _difference_g(white, white.ratio.value_kg_l * factor, water_c)
        for factor in (1.0 - share, 1.0 + share)
    )
    ratio = white.ratio.value_kg_l
    beside = (_ratio_of(white, expected + sign * uncertain, water_c) for sign in (-1.0, 1.0))
    percent = max(abs(read / ratio - 1.0) for read in beside) * 100.0
    return JugTest(
        expected,
        uncertain,
        min(low, expected - uncertain),
        max(high, expected + uncertain),
        percent,
        percent <= TOLERANCE_PERCENT,
    )


def read_jug(
    white: White, difference_g: float, in_tank_l: float, water_c: float = 10.0
) -> BatchReading:
    """The ratio of a batch, read from the jug; "cannot tell" where jug and scale do not say.

    p = rho_powder phi, phi = dm / V / (rho_powder - rho_water)

    Parameters
    ----------
    white : White
        Powder, ratio, jug, scale and tank.
    difference_g : float
        Jug of mix less the same jug of water [g].
    in_tank_l : float
        Mix in the tank, for what to add [L].
    water_c : float
        Temperature of water and mix, 0 to 40 [degC].

    Returns
    -------
    BatchReading
        Outcome, ratio with its range, and what to add where that can be told.

    Raises
    ------
    FieldError
        If the club has no jug or no scale, or the mix weighs more than powder would, or less than
        water.

    Notes
    -----
    A batch is thin or thick where the ratio lies further from the plan than 5 % and than can be
    read; it is as planned where it lies within 5 % and that can be read; else nobody can tell.
    Below half of the plan, or above double, the weighing is doubted and nothing is to be added.
    Uncertainty as in :func:`jug_test`.

    References
    ----------
    Volume and mass balance; the tolerance of 5 %: common practice, no source.
    """
    test = jug_test(white, water_c)
    most_g = _solid_g(white, water_c)
    if difference_g < -test.uncertain_g:
        raise FieldError(
            "mix cannot weigh less than water", "are the two jugs swapped?", "difference"
        )
    if difference_g + test.uncertain_g >= most_g:
        raise FieldError(
            f"a jug of mix cannot weigh {difference_g:g} g more than a jug of water",
            "write the difference of two full jugs, in grams",
            "difference",
        )
    low, ratio, high = (
        _ratio_of(white, difference_g + sign * test.uncertain_g, water_c) for sign in (-1, 0, 1)
    )
    return _judged(white, in_tank_l, 0.0, (max(low, 0.0), max(ratio, 0.0), high))


def correction_of_a_gram(white: White, in_tank_l: float, water_c: float = 10.0) -> Correction:
    """What to add for each gram by which a jug of mix weighs less, or more, than expected.

    powder = V (w + rho) / D, water = V (1 + rho / w) / D, w powder per water, D jug of solid powder

    Parameters
    ----------
    white : White
        Powder, ratio and jug.
    in_tank_l : float
        Mix in the tank [L].
    water_c : float
        Temperature of water and mix, 0 to 40 [degC].

    Returns
    -------
    Correction
        Powder [kg] for a gram too little, water [L] for a gram too much.

    Raises
    ------
    FieldError
        If the club has no jug or no scale.

    Notes
    -----
    Both are exact, not a first approximation: what is to be added is straight in the difference.

    References
    ----------
    Volume and mass balance, as in :func:`read_jug`.
    """
    _check_jug(white)
    density, solid_g = white.powder_density_kg_l, _solid_g(white, water_c)
    wanted = float(powder_per_mix(white.ratio, density) / water_per_mix(white.ratio, density))
    return Correction(
        in_tank_l * (wanted + density) / solid_g, in_tank_l * (1.0 + density / wanted) / solid_g
    )


def _judged(
    white: White, added_l: float, before_l: float, ratios: tuple[float, float, float]
) -> BatchReading:
    """The outcome for a ratio and its range, and what to add to so many litres of that mix."""
    low, ratio, high = ratios
    plan = white.ratio.value_kg_l
    off, uncertain = 100 * abs(ratio / plan - 1), 50 * (high - low) / plan
    if off <= max(TOLERANCE_PERCENT, uncertain):
        outcome: Outcome = "as planned" if uncertain <= TOLERANCE_PERCENT else "cannot tell"
        return BatchReading(outcome, ratio, low, high)
    if not BELIEVED[0] <= ratio / plan <= BELIEVED[1]:
        return BatchReading("far off", ratio, low, high)
    powder_kg, water_l = _to_add(white, added_l, ratio)
    in_tank_l = before_l + added_l
    made_l = in_tank_l + powder_kg / white.powder_density_kg_l + water_l
    notes = [Note("batch-air-looks-thin")] if ratio < plan and high > low else []
    drum_share = max(0.0, 1.0 - white.tank_l / made_l)
    if drum_share:
        values = {"mix_l": made_l, "tank_l": white.tank_l, "more_l": made_l - in_tank_l}
        notes.append(Note("batch-correction-overflows", values))
    name: Outcome = "thin" if ratio < plan else "thick"
    drum_l = in_tank_l * drum_share
    return BatchReading(
        name, ratio, low, high, powder_kg, water_l, drum_l, drum_share, tuple(notes)
    )


def _to_add(white: White, mix_l: float, ratio_kg_l: float) -> tuple[float, float]:
    """Powder [kg] or water [L] that brings so much mix of a ratio to the planned one."""
    density = white.powder_density_kg_l
    made = Ratio(ratio_kg_l, white.ratio.per)
    powder = mix_l * float(powder_per_mix(made, density))
    water = mix_l * float(water_per_mix(made, density))
    wanted = float(powder_per_mix(white.ratio, density) / water_per_mix(white.ratio, density))
    return max(0.0, wanted * water - powder), max(0.0, powder / wanted - water)


def _difference_g(white: White, ratio_kg_l: float, water_c: float) -> float:
    assert white.jug_l is not None
    water = float(water_density_kg_l(water_c))
    made = Ratio(ratio_kg_l, white.ratio.per)
    mix = float(mix_density_kg_l(made, white.powder_density_kg_l, water))
    return white.jug_l * (mix - water) * 1e3


def _solid_g(white: White, water_c: float) -> float:
    """Difference of a jug that holds nothing but solid powder [g]."""
    assert white.jug_l is not None
    return white.jug_l * (white.powder_density_kg_l - float(water_density_kg_l(water_c))) * 1e3


def _ratio_of(white: White, difference_g: float, water_c: float) -> float:
    """The ratio that makes a difference, counted as the plan counts it [kg/L]."""
    share = difference_g / _solid_g(white, water_c)
    powder_kg_l = share * white.powder_density_kg_l
    return ratio_of(powder_kg_l, white.ratio.per, white.powder_density_kg_l).value_kg_l


def _uncertain_g(white: White, expected_g: float, water_c: float) -> float:
    """Twice the standard uncertainty of the difference: each cause is a bound to both sides [g]."""
    assert white.jug_l is not None
    assert white.scale_g is not None
    jug_g = white.jug_l * 1e3
    scale = sqrt(2.0) * white.scale_g / 2.0
    fill = sqrt(2.0) * jug_g * white.jug_fill_percent / 100.0
    volume = abs(expected_g) * JUG_PERCENT / 100.0
    shift = water_density_kg_l(water_c + TEMPERATURE_OFF_C) - water_density_kg_l(water_c)
    return COVERAGE * hypot(scale, fill, volume, jug_g * float(shift)) / sqrt(3.0)


def _check_jug(white: White) -> None:
    for value, field, hint in (
        (white.jug_l, "jug", "write the litres of the jug that is weighed"),
        (white.scale_g, "scale", "write the smallest step of the scale"),
    ):
        if value is None or value <= 0:
            raise FieldError(f"no {field} to check a batch with", hint, field)
