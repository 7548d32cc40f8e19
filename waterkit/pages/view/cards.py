"""Paint cards: one a batch, two sides to print and tick with wet gloves; and one to fill in.

The side for the tank tells how the batch is mixed and checked, the side for the ice how it is put
on. Every card stands alone: whoever has one in hand needs no other.
"""

from dataclasses import dataclass
from functools import partial

from waterkit.ice.batches import Batch
from waterkit.ice.checking import correction_of_a_gram, read_powder
from waterkit.ice.progress import Progress, progress
from waterkit.pages.view import mix_side, spray_side
from waterkit.pages.view.batch_check import to_add
from waterkit.pages.view.card_parts import BLANK, CardSide, Filling, JugWords
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.paint import LEAST_LEFT_L, NO_BAG
from waterkit.pages.view.paint_tables import go_on
from waterkit.pages.view.sentences import counted
from waterkit.pages.view.shapes import UNKNOWN
from waterkit.plan import SeasonPlan
from waterkit.plan.mixing import Mixing, mixing
from waterkit.quantities import LENGTH, MASS, MASS_G, VOLUME
from waterkit.units import convert

BLANK_BAGS, BLANK_COATS = 5, 2
STEP_METRIC_G, STEP_US_OZ = 10.0, 0.5
"""The difference at the scale for which a card says what to add."""
MOST_BAGS = 12
"""With more bags in a batch they are counted, not ticked one by one."""
LEAST_SHARE = 0.05
"""So little of the next coat is not begun: the white is put on where it is thin."""


@dataclass(frozen=True, slots=True)
class BatchCard:
    """One batch: its name, what goes in, and its two sides."""

    anchor: str
    title: str
    facts: tuple[tuple[str, str, str], ...]
    sides: tuple[CardSide, ...]


def cards(plan: SeasonPlan, figures: Figures) -> tuple[BatchCard, ...]:
    """One card for each batch of the white, and an empty one; none where no white is to come."""
    plan.club.need("limits", "people")
    mixed = mixing(plan)
    if mixed is None or plan.painting is None:
        return ()
    done = progress(mixed.white, mixed.batches, plan.painting.area_m2)
    filled = (
        _filled(plan, mixed, batch, where, figures)
        for batch, where in zip(mixed.batches, done, strict=True)
    )
    return tuple(_card(plan, mixed, each, figures) for each in (*filled, _blank(mixed, figures)))


def _card(plan: SeasonPlan, mixed: Mixing, filling: Filling, figures: Figures) -> BatchCard:
    of_water = mixed.white.ratio.per == "water"
    water = filling.water if of_water else filling.mark
    facts = (
        ("Water first" if of_water else "Water up to", water, "measured" if of_water else "last"),
        ("Powder second", filling.powder, filling.bags),
    )
    sides = tuple(each.side(plan, mixed, filling, figures) for each in (mix_side, spray_side))
    return BatchCard(filling.anchor, filling.title, facts, sides)


def _filled(
    plan: SeasonPlan, mixed: Mixing, batch: Batch, done: Progress, figures: Figures
) -> Filling:
    assert plan.painting is not None
    litres, kilograms = partial(figures.text, quantity=VOLUME), partial(figures.text, quantity=MASS)
    of, left_l = len(mixed.batches), mixed.white.heel_l
    return Filling(
        anchor=f"batch-{batch.batch}",
        title=f"Batch {batch.batch} of {of}",
        first=batch.batch == 1,
        last=batch.batch == of,
        blank=False,
        left=litres(left_l) if left_l >= LEAST_LEFT_L else "",
        water=litres(batch.water_l, decimals=1),
        scale=_scale(batch, figures),
        mark=litres(batch.mark_l, decimals=1),
        part=litres(batch.water_l * mix_side.PART_FIRST),
        powder=kilograms(batch.powder_kg, decimals=2),
        bags=_bags(batch, figures),
        ticks=_ticks(batch, figures),
        bag_too_many=_bag_too_many(mixed, batch, figures),
        jug=_jug(mixed, batch, plan.painting.water_c, figures),
        so_far=(kilograms(done.powder_kg, decimals=2), litres(_litres(mixed, done), decimals=1)),
        coats=_coats(plan, done, figures),
        after=_after(plan, done, figures),
    )


def _scale(batch: Batch, figures: Figures) -> str:
    """Where the measured water stands on the tank's own scale, if something was left in it."""
    if batch.in_tank_l < LEAST_LEFT_L:
        return ""
    stands = figures.text(batch.in_tank_l + batch.water_l, VOLUME, 1)
    return f" (on the tank's scale: {stands}, before the powder)"


def _blank(mixed: Mixing, figures: Figures) -> Filling:
    """A card with lines where a batch has its figures."""
    litres, kilograms = f"{BLANK} {figures.unit(VOLUME)}", f"{BLANK} {figures.unit(MASS)}"
    jug = None
    if mixed.jug is not None:
        grams = f"{BLANK} {figures.unit(MASS_G)}"
        thick = f"{litres} of water, in part to mix pumped into a clean drum"
        jug = JugWords(grams, grams, grams, f"{kilograms} of powder", thick, mixed.jug.tells)
    return Filling(
        anchor="blank",
        title=f"Batch {BLANK} of {BLANK}",
        first=False,
        last=True,
        blank=True,
        left=litres,
        water=litres,
        scale=f" (on the tank's scale: {litres}, before the powder)",
        mark=litres,
        part=litres,
        powder=kilograms,
        bags=f"{BLANK} bags, {kilograms} weighed",
        ticks=(*(f"bag {number}" for number in range(1, BLANK_BAGS + 1)), f"{kilograms} weighed"),
        bag_too_many=f"add {litres} of water, in part to mix pumped into a clean drum",
        jug=jug,
        so_far=(kilograms, litres),
        coats=tuple(f"coat {BLANK}" for _ in range(BLANK_COATS)),
        after=f"coat {BLANK} as far as {BLANK} {figures.unit(LENGTH)} of sheet {BLANK}",
    )


def _litres(mixed: Mixing, done: Progress) -> float:
    """The litres that the ratio counts: water, or mix."""
    return done.water_l if mixed.white.ratio.per == "water" else done.mix_l


def _bags(batch: Batch, figures: Figures) -> str:
    if batch.whole_bags is None:
        return f"weigh all of it: {NO_BAG}"
    whole = counted(batch.whole_bags, "whole bag")
    if not batch.weighed_kg:
        return whole
    weighed = f"{figures.text(batch.weighed_kg, MASS, 2)} weighed"
    return f"{whole}, {weighed}" if batch.whole_bags else weighed


def _ticks(batch: Batch, figures: Figures) -> tuple[str, ...]:
    bags = batch.whole_bags or 0
    whole = tuple(f"bag {number}" for number in range(1, bags + 1))
    if bags > MOST_BAGS:
        whole = (f"{counted(bags, 'bag')}, counted {BLANK}",)
    if not batch.weighed_kg:
        return whole
    return (*whole, f"{figures.text(batch.weighed_kg, MASS, 2)} weighed")


def _bag_too_many(mixed: Mixing, batch: Batch, figures: Figures) -> str:
    """What puts right a whole bag too many, and what that means for the batches after it."""
    if not batch.whole_bags:
        return UNKNOWN
    bag_kg = (batch.powder_kg - (batch.weighed_kg or 0.0)) / batch.whole_bags
    much = read_powder(mixed.white, batch, batch.powder_kg + bag_kg)
    if not much.add_water_l:
        return UNKNOWN
    if batch is mixed.batches[-1]:
        return to_add(much, figures)
    more = figures.text(much.add_water_l + bag_kg / mixed.white.powder_density_kg_l, VOLUME)
    return f"{to_add(much, figures)}; mix {more} less after it, powder and water alike"


def _jug(mixed: Mixing, batch: Batch, water_c: float, figures: Figures) -> JugWords | None:
    """What the jug should show, and what to add for each so many grams beside it."""
    if mixed.jug is None:
        return None
    gram = correction_of_a_gram(mixed.white, batch.mark_l, water_c)
    metric = figures.display == "metric"
    step_g = STEP_METRIC_G if metric else float(convert(STEP_US_OZ, "oz", "g"))
    step = figures.text(step_g, MASS_G, 0 if metric else 1)
    words = go_on(mixed.jug, figures)
    powder = figures.text(gram.powder_kg * step_g, MASS, 2)
    water = figures.text(gram.water_l * step_g, VOLUME, 1)
    room = figures.text(max(0.0, mixed.white.tank_l - batch.mark_l), VOLUME)
    return JugWords(
        *words,
        f"{powder} of powder for every {step} below {words[0]}",
        f"{water} of water for every {step} above {words[0]}. Above {room}, the room there is,"
        " first pump what will not fit into a clean drum and share the water by litres; spray only"
        " when both are right",
        mixed.jug.tells,
    )


def _coats(plan: SeasonPlan, done: Progress, figures: Figures) -> tuple[str, ...]:
    """The coats that a batch is sprayed on, whole or in part."""
    assert plan.painting is not None
    begun = done.area_m2 >= LEAST_SHARE * plan.painting.area_m2
    last = done.coats + 1 if begun else max(done.coats, done.first_coat)
    names = [f"coat {number}" for number in range(done.first_coat, last + 1)]
    if begun:
        names[-1] += f", {_place(plan, done, figures)}"
    return tuple(names)


def _after(plan: SeasonPlan, done: Progress, figures: Figures) -> str:
    """Coats and sheets that are done when the batch is sprayed."""
    assert plan.painting is not None
    whole = f"{done.coats} of {counted(plan.club.white.coats, 'coat')}"
    if not done.area_m2:
        return whole
    if done.area_m2 < LEAST_SHARE * plan.painting.area_m2:
        return f"{whole}, the little that is left goes where the white is thin"
    return f"{whole}, coat {done.coats + 1} {_place(plan, done, figures)}"


def _place(plan: SeasonPlan, done: Progress, figures: Figures) -> str:
    """How far a coat that is not done has come, sheet after sheet."""
    assert plan.painting is not None
    rink = plan.club.rink
    whole, part = divmod(done.area_m2 / plan.painting.area_m2 * rink.sheets, 1.0)
    metres = figures.text(part * rink.sheet_length_m, LENGTH, 0)
    return f"as far as {metres} of sheet {int(whole) + 1}"
