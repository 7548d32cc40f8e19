"""The side of a paint card that goes onto the ice: slab, lanes, waits, sealing, cleaning up."""

from waterkit.ice.checking import TOLERANCE_PERCENT
from waterkit.pages.view.card_parts import BLANK, CardSide, CardStep, Filling
from waterkit.pages.view.cautions import CONFINED, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.paint import ratio_number, ratio_text
from waterkit.pages.view.sentences import counted
from waterkit.plan import SeasonPlan
from waterkit.plan.mixing import Mixing
from waterkit.plan.painting import Painting
from waterkit.quantities import LENGTH, MASS, NUMBER, PACE, TEMPERATURE, VOLUME

COLD_SLAB_C = -8.0
"""Surface for white where the layer plan tells none: common practice, no source."""
MOST_BOXES = 12


def side(plan: SeasonPlan, mixed: Mixing, filling: Filling, figures: Figures) -> CardSide:
    """Everything that is done on the ice, in the order of the work."""
    assert plan.painting is not None
    steps = (
        _crew(plan, plan.painting),
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
        _area_done(filling),
        _so_far(mixed, filling, figures),
        *(_end(plan.painting, filling, figures) if filling.last else ()),
    )
    return CardSide("On the ice", steps)


def _crew(plan: SeasonPlan, painting: Painting) -> CardStep:
    people = painting.step.row.people or plan.club.people.crew
    posts = " ".join(f"{post}\u00a0{BLANK}" for post in ("boom", "hose", "mixer", "shields"))
    return CardStep(f"A crew of {people}, nobody works alone: {posts}")


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
        f" {figures.text(length, LENGTH, 1)} of a sheet. {counted(spray.lanes, 'lane')}, one every"
        f" {figures.text(spray.lane_m, LENGTH)}, at a steady walk; the next coat crosswise if"
        " possible."
    )


def _coats(filling: Filling, painting: Painting, figures: Figures) -> CardStep:
    spray = painting.spray
    return CardStep(
        f"A coat takes {figures.text(spray.coat_l, VOLUME)} and {figures.span(spray.spray_h)} of"
        " spraying; the next goes on when it is frozen. The plant needs about"
        f" {figures.span(spray.frozen_h)}:",
        tuple(f"{coat}, at {BLANK}" for coat in filling.coats),
    )


def _area_done(filling: Filling) -> CardStep:
    done = f"Done after this batch: {filling.after}."
    if filling.last and not filling.blank:
        return CardStep(f"{done} Stop earlier where the white is even.")
    about = "" if filling.blank else "about "
    left = f"; {about}{filling.left} stay in" if filling.left else ""
    return CardStep(f"Stop when the pump draws air{left}. {done}")


def _so_far(mixed: Mixing, filling: Filling, figures: Figures) -> CardStep:
    powder, litres = filling.so_far
    ratio, off = mixed.white.ratio, TOLERANCE_PERCENT / 100.0
    low, high = (ratio_number(ratio.value_kg_l * by, figures) for by in (1.0 - off, 1.0 + off))
    unit = ratio_text(0.0, figures).partition("\u00a0")[2]
    really = f"{BLANK}\u00a0{figures.unit(MASS)}, {BLANK}\u00a0{figures.unit(VOLUME)}"
    return CardStep(
        f"In all with this batch: {powder} in {litres} of {ratio.per},"
        f" {ratio_text(ratio.value_kg_l, figures)}. Really: {really}, {BLANK}\u00a0{unit};"
        f" {low} to {high}: go on."
    )


def _end(painting: Painting, filling: Filling, figures: Figures) -> tuple[CardStep, ...]:
    """After the last batch: sealing, what is left over, washing up."""
    return (
        _seal(painting, filling, figures),
        CardStep(
            "Left-over mix is discarded, not kept. Rinse tank, hose, strainer and boom; wipe up"
            " spilt powder wet; close opened bags.",
            cautions=(*cautions_at("wash-out"), CONFINED),
        ),
    )


def _seal(painting: Painting, filling: Filling, figures: Figures) -> CardStep:
    sealing = painting.sealing
    text = "After the last batch: seal" if filling.blank else "Seal"
    text += " the white with water through the same boom; nobody steps on it before. The first"
    text += " pass very fine, each when the one before is frozen"
    if sealing is None:
        return CardStep(f"{text}.", write=(f"passes {BLANK}",))
    passes, wait = sealing.row.passes, figures.span(sealing.hours.wait_per_pass_h)
    told = f"{counted(passes, 'pass', 'passes')}, the plant needs about {wait} for each"
    return CardStep(f"{text}. {told}:", _passes(passes))


def _passes(count: int) -> tuple[str, ...]:
    """A box for each pass, or where they are too many, a line."""
    return tuple(str(n) for n in range(1, count + 1)) if count <= MOST_BOXES else (f"all {count}",)
