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
from waterkit.pages.view.card_parts import BLANK, CardSide, Filling, JugWords
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.paint import NO_BAG, counted
from waterkit.pages.view.shapes import UNKNOWN
from waterkit.plan import SeasonPlan
from waterkit.quantities import AREA, MASS, MASS_G, VOLUME
from waterkit.units import convert

BLANK_BAGS, BLANK_COATS = 5, 4
STEP_METRIC_G, STEP_US_OZ = 10.0, 0.5
"""The difference at the scale for which a card says what to add."""


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
    if plan.paint is None or plan.painting is None:
        return ()
    white, batches = plan.club.white, plan.paint.batches
    done = progress(white, batches, plan.painting.area_m2)
    filled = (
        _filled(plan, batch, where, figures) for batch, where in zip(batches, done, strict=True)
    )
    return (
        *(_card(plan, each, figures) for each in filled),
        _card(plan, _blank(plan, figures), figures),
    )


def _card(plan: SeasonPlan, filling: Filling, figures: Figures) -> BatchCard:
    of_water = plan.club.white.ratio.per == "water"
    water = filling.water if of_water else filling.mark
    facts = (
        ("Water first" if of_water else "Water up to", water, "measured" if of_water else "last"),
        ("Powder second", filling.powder, filling.bags),
    )
    sides = (mix_side.side(plan, filling, figures), spray_side.side(plan, filling, figures))
    return BatchCard(filling.anchor, filling.title, facts, sides)


def _filled(plan: SeasonPlan, batch: Batch, done: Progress, figures: Figures) -> Filling:
    assert plan.paint is not None
    litres, kilograms = partial(figures.text, quantity=VOLUME), partial(figures.text, quantity=MASS)
    of = len(plan.paint.batches)
    return Filling(
        anchor=f"batch-{batch.batch}",
        title=f"Batch {batch.batch} of {of}",
        first=batch.batch == 1,
        last=batch.batch == of,
        water=litres(batch.water_l, decimals=1),
        mark=litres(batch.mark_l, decimals=1),
        part=litres(batch.water_l * mix_side.PART_FIRST),
        powder=kilograms(batch.powder_kg, decimals=2),
        in_tank=litres(batch.mark_l),
        bags=_bags(batch, figures),
        ticks=_ticks(batch, figures),
        bag_too_many=_bag_too_many(plan, batch, figures),
        jug=_jug(plan, batch, figures),
        so_far=(kilograms(done.powder_kg, decimals=2), litres(_litres(plan, done), decimals=1)),
        coats=_coats(plan, done, figures),
        after=_after(plan, done, figures),
    )


def _blank(plan: SeasonPlan, figures: Figures) -> Filling:
    """A card with lines where a batch has its figures."""
    litres, kilograms = f"{BLANK} {figures.unit(VOLUME)}", f"{BLANK} {figures.unit(MASS)}"
    jug = None
    if plan.painting is not None and plan.painting.jug is not None:
        grams = f"{BLANK} {figures.unit(MASS_G)}"
        jug = JugWords(
            grams,
            grams,
            grams,
            f"{kilograms} of powder for {grams}",
            f"{litres} of water for {grams}",
            True,
        )
    return Filling(
        anchor="blank",
        title=f"Batch {BLANK} of {BLANK}",
        first=False,
        last=True,
        water=litres,
        mark=litres,
        part=litres,
        powder=kilograms,
        in_tank=litres,
        bags=f"{BLANK} bags, {kilograms} weighed",
        ticks=(*(f"bag {number}" for number in range(1, BLANK_BAGS + 1)), f"{kilograms} weighed"),
        bag_too_many=litres,
        jug=jug,
        so_far=(kilograms, litres),
        coats=tuple(f"coat {BLANK}" for _ in range(BLANK_COATS)),
        after=f"coat {BLANK}, {BLANK} {figures.unit(AREA)}",
    )


def _litres(plan: SeasonPlan, done: Progress) -> float:
    """The litres that the ratio counts: water, or mix."""
    return done.water_l if plan.club.white.ratio.per == "water" else done.mix_l


def _bags(batch: Batch, figures: Figures) -> str:
    if batch.whole_bags is None:
        return f"weigh all of it: {NO_BAG}"
    whole = counted(batch.whole_bags, "whole bag")
    if not batch.weighed_kg:
        return whole
    weighed = f"{figures.text(batch.weighed_kg, MASS, 2)} weighed"
    return f"{whole}, {weighed}" if batch.whole_bags else weighed


def _ticks(batch: Batch, figures: Figures) -> tuple[str, ...]:
    whole = tuple(f"bag {number}" for number in range(1, (batch.whole_bags or 0) + 1))
    if not batch.weighed_kg:
        return whole
    return (*whole, f"{figures.text(batch.weighed_kg, MASS, 2)} weighed")


def _bag_too_many(plan: SeasonPlan, batch: Batch, figures: Figures) -> str:
    """Water that puts right a whole bag too many."""
    if not batch.whole_bags:
        return UNKNOWN
    bag_kg = (batch.powder_kg - (batch.weighed_kg or 0.0)) / batch.whole_bags
    much = read_powder(plan.club.white, batch, batch.powder_kg + bag_kg)
    return figures.text(much.add_water_l, VOLUME) if much.add_water_l else UNKNOWN


def _jug(plan: SeasonPlan, batch: Batch, figures: Figures) -> JugWords | None:
    """What the jug should show, and what to add for each so many grams beside it."""
    painting = plan.painting
    if painting is None or painting.jug is None:
        return None
    jug, gram = painting.jug, correction_of_a_gram(plan.club.white, batch.mark_l, painting.water_c)
    metric = figures.display == "metric"
    step_g = STEP_METRIC_G if metric else float(convert(STEP_US_OZ, "oz", "g"))
    step = figures.text(step_g, MASS_G, 0 if metric else 1)
    expected, low, high = (
        figures.text(each, MASS_G, 0 if metric else 1)
        for each in (jug.expected_g, jug.low_g, jug.high_g)
    )
    return JugWords(
        expected,
        low,
        high,
        f"{figures.text(gram.powder_kg * step_g, MASS, 2)} of powder for every {step}",
        f"{figures.text(gram.water_l * step_g, VOLUME, 1)} of water for every {step}",
        jug.tells,
    )


def _coats(plan: SeasonPlan, done: Progress, figures: Figures) -> tuple[str, ...]:
    """The coats that a batch is sprayed on, whole or in part."""
    assert plan.painting is not None
    names = [f"coat {number}" for number in range(done.first_coat, done.last_coat + 1)]
    if names and done.area_m2 > 0:
        names[-1] += f", up to {figures.about(done.area_m2, AREA)}"
    return tuple(names)


def _after(plan: SeasonPlan, done: Progress, figures: Figures) -> str:
    """Coats and area that are done when the batch is sprayed."""
    assert plan.painting is not None
    area, most = plan.painting.area_m2, plan.club.white.coats
    whole = f"{done.coats} of {counted(most, 'coat')}"
    if not done.area_m2:
        return whole
    part, all_of_it = figures.about(done.area_m2, AREA), figures.about(area, AREA)
    return f"{whole}, and {part} of the {all_of_it} of coat {done.coats + 1}"
