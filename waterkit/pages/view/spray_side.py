"""The side of a paint card that goes onto the ice: slab, lanes, waits, sealing, cleaning up."""

from waterkit.pages.view.card_parts import BLANK, CardSide, CardStep, Filling
from waterkit.pages.view.cautions import cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.paint import ratio_text
from waterkit.plan import SeasonPlan
from waterkit.plan.painting import Painting
from waterkit.quantities import LENGTH, MASS, NUMBER, PACE, TEMPERATURE, VOLUME

COLD_SLAB_C = -8.0
"""Surface for white where the layer plan tells none: common practice, no source."""
MOST_BOXES = 12


def side(plan: SeasonPlan, filling: Filling, figures: Figures) -> CardSide:
    """Everything that is done on the ice, in the order of the work."""
    assert plan.painting is not None
    steps = (
        _slab(plan.painting, figures),
        CardStep(
            "Shields stand at windows and walkways. The mix is strained into the pump.",
            cautions=cautions_at("spraying"),
        ),
        _lanes(plan, plan.painting, figures),
        _coats(filling, plan.painting, figures),
        CardStep(
            "After a stop of more than 5 minutes run what is in the hose back into the tank. Clean"
            " a clogged nozzle off the ice."
        ),
        _area_done(plan, filling, figures),
        _so_far(plan, filling, figures),
        *(_end(plan.painting, figures) if filling.last else ()),
    )
    return CardSide("On the ice", steps)


def _slab(painting: Painting, figures: Figures) -> CardStep:
    row = painting.step.row
    coldest = COLD_SLAB_C if row.surface_at_most_c is None else row.surface_at_most_c
    unit = figures.unit(TEMPERATURE)
    return CardStep(
        f"The surface is {figures.text(coldest, TEMPERATURE, 0)} or colder at both ends and at the"
        " edges, level, without wet spots; soles are clean.",
        write=tuple(f"{place} {BLANK} {unit}" for place in ("home", "away", "edge")),
    )


def _lanes(plan: SeasonPlan, painting: Painting, figures: Figures) -> CardStep:
    spray, length = painting.spray, plan.club.rink.sheet_length_m
    seconds = figures.number(length / spray.pace_m_s, NUMBER, 0)
    passes = "One pass makes" if spray.passes == 1 else f"{spray.passes} passes make"
    return CardStep(
        f"{passes} a coat, at {figures.text(spray.pace_m_s, PACE)}: {seconds} seconds for the"
        f" {figures.text(length, LENGTH, 1)} of a sheet. Steady, lanes a little over each other,"
        " the next coat crosswise if possible."
    )


def _coats(filling: Filling, painting: Painting, figures: Figures) -> CardStep:
    spray = painting.spray
    return CardStep(
        f"A coat takes {figures.text(spray.coat_l, VOLUME)} and {figures.span(spray.spray_h)} of"
        " spraying. The next one goes on when it is frozen, about"
        f" {figures.span(spray.frozen_h)} later:",
        tuple(f"{coat}, on at {BLANK}" for coat in filling.coats),
    )


def _area_done(plan: SeasonPlan, filling: Filling, figures: Figures) -> CardStep:
    if filling.last:
        text = f"Done after this batch: {filling.after}. Stop earlier where the white is even."
        return CardStep(text)
    heel = figures.text(plan.club.white.heel_l, VOLUME)
    return CardStep(
        f"Stop when the pump draws air; about {heel} stay in. Done after this batch:"
        f" {filling.after}."
    )


def _so_far(plan: SeasonPlan, filling: Filling, figures: Figures) -> CardStep:
    powder, litres = filling.so_far
    ratio = plan.club.white.ratio
    unit = ratio_text(0.0, figures).partition("\u00a0")[2]
    really = f"{BLANK}\u00a0{figures.unit(MASS)}, {BLANK}\u00a0{figures.unit(VOLUME)}"
    return CardStep(
        f"In all with this batch: {powder} in {litres} of {ratio.per},"
        f" {ratio_text(ratio.value_kg_l, figures)}. Really: {really}, {BLANK}\u00a0{unit}."
    )


def _end(painting: Painting, figures: Figures) -> tuple[CardStep, ...]:
    """After the last batch: sealing, what is left over, washing up."""
    return (
        _seal(painting, figures),
        CardStep(
            "Left-over mix is discarded, not kept. Rinse tank, hose, strainer and boom; wipe up"
            " spilt powder wet; close opened bags.",
            cautions=cautions_at("wash-out"),
        ),
    )


def _seal(painting: Painting, figures: Figures) -> CardStep:
    row = painting.sealing
    text = "Seal the white with water through the same boom, which rinses it: the first pass very"
    text += " fine, each when the one before is frozen. Nobody steps on white before that."
    if row is None:
        return CardStep(text, write=(f"passes {BLANK}",))
    wait = f", {figures.span(row.minimum_wait_h)} apart or more" if row.minimum_wait_h else ""
    return CardStep(f"{text} {row.passes} passes{wait}:", _passes(row.passes))


def _passes(count: int) -> tuple[str, ...]:
    """A box for each pass, or where they are too many, a line."""
    return tuple(str(n) for n in range(1, count + 1)) if count <= MOST_BOXES else (f"all {count}",)
