"""Batches of white paint: tank by tank, in whole grams and millilitres, and their bags."""

from dataclasses import dataclass
from itertools import pairwise

from waterkit.errors import FieldError
from waterkit.ice.paint import (
    White,
    check_white,
    mix_density_kg_l,
    mix_need,
    powder_per_mix,
    water_per_mix,
)
from waterkit.water.density import water_density_kg_l
from waterkit.working import Note

USUAL_GRAMS_M2 = (80.0, 140.0)
"""Dry powder on a square metre of ice, all coats [g/m2]: common practice, no source."""
MOST_BATCHES = 1000
"""More than any club would mix; beyond it a figure is wrong."""


@dataclass(frozen=True, slots=True)
class Batch:
    """One filling of the tank: what is added to the heel of the one before.

    ``whole_bags`` go in unopened, ``weighed_kg`` is weighed out of an opened bag; both are None
    where the size of a bag is not known.
    """

    batch: int
    water_l: float
    powder_kg: float
    mix_l: float
    density_kg_l: float
    whole_bags: int | None = None
    weighed_kg: float | None = None


@dataclass(frozen=True, slots=True)
class PaintPlan:
    """The white layer's batches and their sums.

    Parameters
    ----------
    batches : tuple of Batch
        In the order of mixing; their sums are the plan's, to the gram and the millilitre.
    powder_kg : float
        Powder in all [kg].
    water_l, mix_l : float
        Water, and mix made of it [L].
    on_ice_l, lost_l, left_over_l : float
        Mix on the ice, beside it, and the last heel [L].
    grams_per_m2 : float
        Powder on one square metre of ice [g/m2].
    bags : int or None
        Bags that have to be there, the last one perhaps opened only.
    notes : tuple of Note
        Remarks.
    """

    batches: tuple[Batch, ...]
    powder_kg: float
    water_l: float
    mix_l: float
    on_ice_l: float
    lost_l: float
    left_over_l: float
    grams_per_m2: float
    bags: int | None = None
    notes: tuple[Note, ...] = ()


def plan_paint(
    white: White, area_m2: float, bag_kg: float | None = None, water_c: float = 10.0
) -> PaintPlan:
    """Batches of white paint for an area, every one at the same ratio.

    The first batch fills the tank, each further one fills it up again from the heel, the last one
    is scaled down with its powder.

    Parameters
    ----------
    white : White
        Powder, ratio, coats and tank.
    area_m2 : float
        Area to paint [m2].
    bag_kg : float or None
        Powder in one bag [kg].
    water_c : float
        Temperature of the water, for the density of the mix [degC].

    Returns
    -------
    PaintPlan
        Batches, sums and notes.

    Raises
    ------
    FieldError
        If the mix cannot be made, see :func:`waterkit.ice.paint.check_white`, or not in a thousand
        batches, or a bag holds nothing.
    ValueError
        If there is no area.

    Notes
    -----
    Whether the coats hide the slab depends on the powder and is not told here; grams outside
    common practice are told in a note.

    References
    ----------
    Volume and mass balance.
    """
    check_white(white)
    if area_m2 <= 0:
        raise ValueError(f"area_m2: {area_m2} m2 cannot be painted")
    batches = _batches(white, area_m2, bag_kg, float(water_density_kg_l(water_c)))
    need = mix_need(white, area_m2)
    powder_g = sum(_thousandths(batch.powder_kg) for batch in batches)
    on_ice_g = need.on_ice_l * float(powder_per_mix(white.ratio, white.powder_density_kg_l)) * 1e3
    return PaintPlan(
        batches=batches,
        powder_kg=powder_g / 1e3,
        water_l=sum(_thousandths(batch.water_l) for batch in batches) / 1e3,
        mix_l=sum(_thousandths(batch.mix_l) for batch in batches) / 1e3,
        on_ice_l=need.on_ice_l,
        lost_l=need.lost_l,
        left_over_l=need.left_over_l,
        grams_per_m2=on_ice_g / area_m2,
        bags=None if bag_kg is None else -(-powder_g * 1000 // _bag_mg(bag_kg)),
        notes=_grams_notes(on_ice_g / area_m2),
    )


def _batches(
    white: White, area_m2: float, bag_kg: float | None, water_kg_l: float
) -> tuple[Batch, ...]:
    """Batches in whole grams and millilitres, so that they sum to the plan.

    Powder and water are shared out by their running totals: no batch is further than one gram or
    one millilitre from the ratio, and nothing is left over or missing at the end.
    """
    ratio, density = white.ratio, white.powder_density_kg_l
    ends = _tank_marks_ml(mix_need(white, area_m2).made_l, white)
    powder = [round(end * float(powder_per_mix(ratio, density))) for end in ends]
    water = [round(end * float(water_per_mix(ratio, density))) for end in ends]
    mixed = float(mix_density_kg_l(ratio, density, water_kg_l))
    steps = zip(pairwise(ends), pairwise(powder), pairwise(water), strict=True)
    return tuple(
        Batch(
            number, (w1 - w0) / 1e3, (p1 - p0) / 1e3, (m1 - m0) / 1e3, mixed,
            *_in_bags(p1 - p0, bag_kg),
        )
        for number, ((m0, m1), (p0, p1), (w0, w1)) in enumerate(steps, start=1)
    )  # fmt: skip


def _tank_marks_ml(total_l: float, white: White) -> list[int]:
    """Running total of mix made after each batch, from 0 [mL]."""
    total, tank, heel = (_thousandths(v) for v in (total_l, white.tank_l, white.heel_l))
    if total > MOST_BATCHES * (tank - heel):
        raise FieldError(
            f"{total_l:.0f} L of mix would take more than {MOST_BATCHES} batches",
            "check tank, heel and per_coat",
            "tank",
        )
    marks = [0, min(total, tank)]
    while marks[-1] < total:
        marks.append(min(total, marks[-1] + tank - heel))
    return marks


def _in_bags(powder_g: int, bag_kg: float | None) -> tuple[int | None, float | None]:
    """Whole bags, and what is weighed beside them [kg]."""
    if bag_kg is None:
        return None, None
    whole, rest_mg = divmod(powder_g * 1000, _bag_mg(bag_kg))
    return whole, rest_mg / 1e6


def _bag_mg(bag_kg: float) -> int:
    milligrams = round(bag_kg * 1e6)
    if milligrams < 1:
        raise FieldError("a bag without powder", "write what one bag holds", "bag")
    return milligrams


def _grams_notes(grams_per_m2: float) -> tuple[Note, ...]:
    low, high = USUAL_GRAMS_M2
    if low <= grams_per_m2 <= high:
        return ()
    values = {"grams_per_m2": grams_per_m2, "low_g_m2": low, "high_g_m2": high}
    return (Note("white-grams-unusual", values),)


def _thousandths(value: float) -> int:
    """Litres in whole millilitres, kilograms in whole grams."""
    return round(value * 1e3)
