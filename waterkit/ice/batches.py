"""Batches of white paint: tank by tank, in whole grams and millilitres, and their bags.

At most one bag is opened: fillings take whole bags, and what is weighed comes out of the last one.
Beside that plan stands one without any weighing, with what it costs.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from waterkit.errors import FieldError
from waterkit.ice.bags import BagShare, share_bags
from waterkit.ice.paint import (
    Ratio,
    White,
    check_white,
    mix_density_kg_l,
    mix_need,
    powder_per_mix,
    ratio_of,
    water_per_mix,
)
from waterkit.water.density import water_density_kg_l
from waterkit.working import Note

USUAL_GRAMS_M2 = (80.0, 140.0)
"""Dry powder on a square metre of ice, all coats [g/m2]: common practice, no source."""
LITTLE_PERCENT = 5.0
"""So far may the ratio be off, or so much mix be left over: common practice, no source."""
HALF_GRAM_MG = 500
MOST_BATCHES = 1000
"""More than any club would mix; beyond it a figure is wrong."""


@dataclass(frozen=True, slots=True)
class Batch:
    """One filling of the tank: what is added to the heel of the one before.

    ``whole_bags`` go in unopened, ``weighed_kg`` is weighed out of an opened bag; both are None
    where the size of a bag is not known. Whoever measures the water first adds ``powder_kg`` to
    ``water_l``; whoever fills up to the mark after the powder goes up to ``mark_l``.
    """

    batch: int
    water_l: float
    powder_kg: float
    mix_l: float
    density_kg_l: float
    whole_bags: int | None = None
    weighed_kg: float | None = None
    in_tank_l: float = 0.0

    @property
    def mark_l(self) -> float:
        """Where the mix stands in the tank, the heel of the batch before counted [L]."""
        return self.in_tank_l + self.mix_l


@dataclass(frozen=True, slots=True)
class WholeBags:
    """The white without any weighing: every batch of whole bags, and what that costs.

    Parameters
    ----------
    batches : tuple of Batch
        In the order of mixing, every one at the same ratio.
    bags : int
        Bags, all of them emptied.
    ratio : Ratio
        The ratio of these batches [kg/L].
    powder_kg, water_l, mix_l : float
        Sums of the batches [kg, L].
    ratio_percent : float
        By how much the ratio differs from the one asked for [%].
    more_mix_l : float
        Mix made beyond what is needed; it is thrown away [L].
    more_batches : int
        Batches beyond those of the plan that weighs.
    """

    batches: tuple[Batch, ...]
    bags: int
    ratio: Ratio
    powder_kg: float
    water_l: float
    mix_l: float
    ratio_percent: float
    more_mix_l: float
    more_batches: int

    @property
    def costs_little(self) -> bool:
        """Whether ratio and left-over stay within 5 % and no batch is added."""
        little = abs(self.ratio_percent) <= LITTLE_PERCENT
        less = self.more_mix_l <= self.mix_l * LITTLE_PERCENT / 100.0
        return little and less and self.more_batches <= 0


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
    left_in_bag_kg : float or None
        Powder left in the opened bag [kg].
    in_whole_bags : WholeBags or None
        The same white without weighing; None where a bag is not known or larger than the tank.
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
    left_in_bag_kg: float | None = None
    in_whole_bags: WholeBags | None = None
    notes: tuple[Note, ...] = ()


def plan_paint(
    white: White, area_m2: float, bag_kg: float | None = None, water_c: float = 10.0
) -> PaintPlan:
    """Batches of white paint for an area, every one at the same ratio.

    The first batch fills the tank, each further one fills it up again from the heel, the last one
    is scaled down with its powder. Where the size of a bag is known, each takes whole bags as far
    as they fit, and the last one what is weighed out of the one bag that is opened.

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
        Batches, sums, the same in whole bags, and notes.

    Raises
    ------
    FieldError
        If the mix cannot be made, see :func:`waterkit.ice.paint.check_white`, or not in a thousand
        batches, or a bag holds nothing, or there is not a gram of powder in it.
    ValueError
        If there is no area.

    Notes
    -----
    Where a bag holds more than the tank takes, bags are opened one after another, and a note says
    so. Whether the coats hide the slab is told by :mod:`waterkit.ice.hiding`; grams outside common
    practice are told in a note.

    References
    ----------
    Volume and mass balance.
    """
    check_white(white)
    if area_m2 <= 0:
        raise ValueError(f"area_m2: {area_m2} m2 cannot be painted")
    need = mix_need(white, area_m2)
    water_kg_l = float(water_density_kg_l(water_c))
    total_ml = _thousandths(need.made_l)
    bag_mg = None if bag_kg is None else _bag_mg(bag_kg)
    batches, notes = _exact(white, total_ml, bag_mg, water_kg_l)
    powder_g = sum(_thousandths(batch.powder_kg) for batch in batches)
    on_ice_g = need.on_ice_l * _powder_g_ml(white) * 1e3
    plan = PaintPlan(
        batches,
        powder_kg=powder_g / 1e3,
        water_l=_sum(batch.water_l for batch in batches),
        mix_l=_sum(batch.mix_l for batch in batches),
        on_ice_l=need.on_ice_l,
        lost_l=need.lost_l,
        left_over_l=need.left_over_l,
        grams_per_m2=on_ice_g / area_m2,
        notes=(*_grams_notes(on_ice_g / area_m2), *notes),
    )
    if bag_mg is None:
        return plan
    powder_mg = _no_crumbs_mg(powder_g, bag_mg)
    bags = -(-powder_mg // bag_mg)
    return replace(
        plan,
        bags=bags,
        left_in_bag_kg=(bags * bag_mg - powder_mg) / 1e6,
        in_whole_bags=_in_whole_bags(white, total_ml, bag_mg, len(batches), water_kg_l),
    )


def _exact(
    white: White, total_ml: int, bag_mg: int | None, water_kg_l: float
) -> tuple[tuple[Batch, ...], tuple[Note, ...]]:
    """Batches that make just what is needed at just the ratio, and what their bags ask for."""
    full = _tank_marks_ml(total_ml, white)
    total_g = round(total_ml * _powder_g_ml(white))
    if total_g < 1:
        raise FieldError("less than a gram of powder", "check ratio and per_coat", "ratio")
    shares = None
    if bag_mg is not None:
        powder_mg = _no_crumbs_mg(total_g, bag_mg)
        shares = share_bags(powder_mg, bag_mg, *_room_mg(white, powder_mg / total_ml))
    if bag_mg is not None and shares is not None:
        batches = _of_bags(white, total_ml, shares, bag_mg, water_kg_l)
        return batches, _more_batches(len(shares), len(full) - 1)
    powder_g = [round(end * _powder_g_ml(white)) for end in full]
    batches = _batches(white, full, powder_g, water_kg_l)
    if bag_mg is None:
        return batches, ()
    values = {"bag_kg": bag_mg / 1e6, "tank_kg": _room_mg(white)[1] / 1e6}
    return _one_bag_after_another(batches, bag_mg), (Note("bag-larger-than-tank", values),)


def _one_bag_after_another(batches: tuple[Batch, ...], bag_mg: int) -> tuple[Batch, ...]:
    """Full tanks that take no whole bag: what does not go in unopened is weighed."""
    shares = (divmod(_thousandths(batch.powder_kg) * 1000, bag_mg) for batch in batches)
    return tuple(
        replace(batch, whole_bags=whole, weighed_kg=mg / 1e6)
        for batch, (whole, mg) in zip(batches, shares, strict=True)
    )


def _in_whole_bags(
    white: White, total_ml: int, bag_mg: int, batches: int, water_kg_l: float
) -> WholeBags | None:
    """The nearest number of bags at a ratio a little off, else one bag more at the ratio."""
    total_mg = total_ml * _powder_g_ml(white) * 1e3
    bags = max(1, round(total_mg / bag_mg))
    mix_ml, ratio, off = total_ml, white.ratio, 100.0 * (bags * bag_mg / total_mg - 1.0)
    per_l = bags * bag_mg / 1e3 / total_ml
    if abs(off) <= LITTLE_PERCENT and per_l < white.powder_density_kg_l:
        ratio = ratio_of(per_l, white.ratio.per, white.powder_density_kg_l)
    else:
        bags = int(-(-total_mg // bag_mg))
        mix_ml = round(total_ml * bags * bag_mg / total_mg)
    mixed = replace(white, ratio=ratio)
    rooms = _room_mg(mixed, bags * bag_mg / mix_ml)
    shares = share_bags(bags * bag_mg, bag_mg, *rooms, may_open=False)
    if shares is None:
        return None
    made = _of_bags(mixed, mix_ml, shares, bag_mg, water_kg_l)
    return WholeBags(
        made,
        bags,
        ratio,
        powder_kg=_sum(batch.powder_kg for batch in made),
        water_l=_sum(batch.water_l for batch in made),
        mix_l=mix_ml / 1e3,
        ratio_percent=100.0 * (ratio.value_kg_l / white.ratio.value_kg_l - 1.0),
        more_mix_l=(mix_ml - total_ml) / 1e3,
        more_batches=len(made) - batches,
    )


def _of_bags(
    white: White, total_ml: int, shares: Sequence[BagShare], bag_mg: int, water_kg_l: float
) -> tuple[Batch, ...]:
    """Batches whose powder is shared out in bags; mix and water follow the powder."""
    powder_mg = [0, *accumulate(share.powder_mg(bag_mg) for share in shares)]
    ends_ml = [round(total_ml * mg / powder_mg[-1]) for mg in powder_mg]
    powder_g = [round(mg / 1000) for mg in powder_mg]
    batches = _batches(white, ends_ml, powder_g, water_kg_l)
    return tuple(
        replace(
            batch,
            whole_bags=share.whole,
            weighed_kg=_weighed_kg(batch, share, bag_mg) if share.weighed_mg else 0.0,
        )
        for batch, share in zip(batches, shares, strict=True)
    )


def _weighed_kg(batch: Batch, share: BagShare, bag_mg: int) -> float:
    """What lies beside the whole bags in a batch of whole grams [kg]."""
    return max(0, _thousandths(batch.powder_kg) * 1000 - share.whole * bag_mg) / 1e6


def _batches(
    white: White, ends_ml: Sequence[int], powder_g: Sequence[int], water_kg_l: float
) -> tuple[Batch, ...]:
    """Batches in whole grams and millilitres, so that they sum to the plan.

    Powder and water are shared out by their running totals: no batch is further than one gram or
    one millilitre from the ratio, and nothing is left over or missing at the end.
    """
    ratio, density = white.ratio, white.powder_density_kg_l
    water = [round(end * float(water_per_mix(ratio, density))) for end in ends_ml]
    mixed = float(mix_density_kg_l(ratio, density, water_kg_l))
    steps = zip(pairwise(ends_ml), pairwise(powder_g), pairwise(water), strict=True)
    return tuple(
        Batch(
            number, (w1 - w0) / 1e3, (p1 - p0) / 1e3, (m1 - m0) / 1e3, mixed,
            in_tank_l=0.0 if number == 1 else white.heel_l,
        )
        for number, ((m0, m1), (p0, p1), (w0, w1)) in enumerate(steps, start=1)
    )  # fmt: skip


def _tank_marks_ml(total_ml: int, white: White) -> list[int]:
    """Running total of mix made after each full tank, from 0 [mL]."""
    tank, heel = _thousandths(white.tank_l), _thousandths(white.heel_l)
    if total_ml > MOST_BATCHES * (tank - heel):
        raise FieldError(
            f"{total_ml / 1e3:.0f} L of mix would take more than {MOST_BATCHES} batches",
            "check tank, heel and per_coat",
            "tank",
        )
    marks = [0, min(total_ml, tank)]
    while marks[-1] < total_ml:
        marks.append(min(total_ml, marks[-1] + tank - heel))
    return marks


def _room_mg(white: White, mg_per_ml: float | None = None) -> tuple[int, int]:
    """Powder that the empty tank takes, and the tank above its heel, to the millilitre [mg].

    ``mg_per_ml`` is the powder as shared out, rounded to the gram; without it the ratio's.
    """
    tank, heel = _thousandths(white.tank_l), _thousandths(white.heel_l)
    per_ml = _powder_g_ml(white) * 1e3 if mg_per_ml is None else mg_per_ml
    first, later = ((room + 0.5) * per_ml for room in (tank, tank - heel))
    return int(first), int(later)


def _powder_g_ml(white: White) -> float:
    return float(powder_per_mix(white.ratio, white.powder_density_kg_l))


def _no_crumbs_mg(powder_g: int, bag_mg: int) -> int:
    """Powder in milligrams; no bag is opened for less than the rounding to the gram."""
    rest_mg = powder_g * 1000 % bag_mg
    return powder_g * 1000 - (rest_mg if rest_mg < HALF_GRAM_MG else 0)


def _bag_mg(bag_kg: float) -> int:
    milligrams = round(bag_kg * 1e6)
    if milligrams < 1:
        raise FieldError("a bag without powder", "write what one bag holds", "bag")
    return milligrams


def _more_batches(batches: int, full_tanks: int) -> tuple[Note, ...]:
    if batches <= full_tanks:
        return ()
    return (Note("white-more-batches", {"batches": batches, "full_tanks": full_tanks}),)


def _grams_notes(grams_per_m2: float) -> tuple[Note, ...]:
    low, high = USUAL_GRAMS_M2
    if low <= grams_per_m2 <= high:
        return ()
    values = {"grams_per_m2": grams_per_m2, "low_g_m2": low, "high_g_m2": high}
    return (Note("white-grams-unusual", values),)


def _sum(amounts: Iterable[float]) -> float:
    """Sum of litres or kilograms, exact to the millilitre or gram."""
    return sum(map(_thousandths, amounts)) / 1e3


def _thousandths(value: float) -> int:
    """Litres in whole millilitres, kilograms in whole grams."""
    return round(value * 1e3)
