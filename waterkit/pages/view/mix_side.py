"""The side of a paint card that hangs at the tank: water, powder, mixing, checking."""

from collections.abc import Iterator

from waterkit.ice.paint import swapped_percent
from waterkit.pages.view.card_parts import BLANK, CardSide, CardStep, Filling, JugWords
from waterkit.pages.view.cautions import DRINKING_WATER, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import UNKNOWN
from waterkit.plan import SeasonPlan
from waterkit.plan.mixing import Mixing
from waterkit.quantities import CONDUCTIVITY, MASS_G, PERCENT, TEMPERATURE
from waterkit.water.limits import COMMON_LIMITS

PART_FIRST = 2.0 / 3.0
"""Of the water goes in before the powder, where a mark is filled up to: common practice."""
COLD_C = (5.0, 15.0)
"""Water for the mix; hot water lumps some powders: common practice, no source."""


def side(plan: SeasonPlan, mixed: Mixing, filling: Filling, figures: Figures) -> CardSide:
    """Everything that is done at the tank, in the order of the work."""
    of_water = mixed.white.ratio.per == "water"
    steps = (
        _check_water(plan, figures),
        CardStep(_tank(filling)),
        *((_measured if of_water else _to_mark)(mixed, filling, figures)),
        CardStep("Mix 10 to 15 minutes; keep mixing until the tank is empty."),
        _count_bags(filling),
        _weigh_jug(mixed, filling.jug, figures),
    )
    return CardSide("At the tank", steps)


def _check_water(plan: SeasonPlan, figures: Figures) -> CardStep:
    limit = plan.club.limits.get("white", COMMON_LIMITS["white"]).good_us_cm
    low, high = (figures.number(each, TEMPERATURE, 0) for each in COLD_C)
    cold = f"{low} to {high}\u00a0{figures.unit(TEMPERATURE)}"
    return CardStep(
        f"Water at tank and hose end: at most {figures.given(limit, CONDUCTIVITY.unit)} at 25 °C"
        f" (tank card), cold ({cold}). {BLANK}\u00a0{figures.unit(CONDUCTIVITY)},"
        f" {BLANK}\u00a0{figures.unit(TEMPERATURE)}"
    )


def _tank(filling: Filling) -> str:
    if filling.blank:
        return f"Mixing tank: off the ice, on its mat; {filling.left} of the mix before left in it."
    if filling.first:
        return "Mixing tank: off the ice, on its mat, clean, empty."
    left = f", about {filling.left} left in it" if filling.left else ""
    return f"Mixing tank: pumped down{left}."


def _measured(mixed: Mixing, filling: Filling, figures: Figures) -> tuple[CardStep, ...]:
    """Powder for each litre of water: measure the water, add the powder, and no more water."""
    return (
        CardStep(
            f"Water first: measure {filling.water} into the tank{filling.scale}.",
            cautions=(DRINKING_WATER,),
        ),
        _mixer(),
        _respirator(),
        _powder(filling),
        CardStep(f"No more water, no filling up to a mark: {_swapped(mixed, figures)}"),
    )


def _to_mark(mixed: Mixing, filling: Filling, figures: Figures) -> tuple[CardStep, ...]:
    """Powder for each litre of mix: some water, the powder, then water up to the mark."""
    return (
        CardStep(f"Water first, a part of it: about {filling.part}.", cautions=(DRINKING_WATER,)),
        _mixer(),
        _respirator(),
        _powder(filling),
        CardStep(
            f"Water last: fill up to {filling.mark} in the tank; measured beforehand,"
            f" {_swapped(mixed, figures)}"
        ),
    )


def _swapped(mixed: Mixing, figures: Figures) -> str:
    white = mixed.white
    off = float(swapped_percent(white.ratio, white.powder_density_kg_l))
    way = "too strong" if off > 0 else "too thin"
    percent = figures.text(abs(off), PERCENT)
    return f"this mix would come out {percent} {way}."


def _mixer() -> CardStep:
    return CardStep("Start the mixer.", cautions=cautions_at("mixing"))


def _respirator() -> CardStep:
    return CardStep(
        "Respirator, goggles and gloves are on; others keep away.", cautions=cautions_at("powder")
    )


def _powder(filling: Filling) -> CardStep:
    return CardStep(
        f"Powder second: {filling.powder}, slowly, low, into the current.",
        filling.ticks,
    )


def _count_bags(filling: Filling) -> CardStep:
    if not any("bag" in tick for tick in filling.ticks):
        return CardStep("Check: all of the weighed powder is in, and none of it twice.")
    text = "Check: count the empty bags. One too few: add it."
    if filling.bag_too_many != UNKNOWN:
        text += f" One too many: {filling.bag_too_many}."
    return CardStep(text)


def _weigh_jug(mixed: Mixing, jug: JugWords | None, figures: Figures) -> CardStep:
    if jug is None or mixed.white.jug_l is None:
        return CardStep("There is no jug and scale in club.toml to check with: the bags count.")
    size, grams = figures.given(mixed.white.jug_l, "L"), figures.unit(MASS_G)
    text = (
        f"Then the same jug, {size}, with water and with mix: mix weighs {jug.expected} more than"
        f" water. {jug.low} to {jug.high}:"
    )
    text += " go on." if jug.tells else " jug and scale are too coarse to tell, the bags count."
    write = (f"water {BLANK} {grams}", f"mix {BLANK} {grams}", f"more {BLANK} {grams}")
    return CardStep(text, more=tuple(_beside(jug)), write=write)


def _beside(jug: JugWords) -> Iterator[str]:
    """What to do if the jug shows something else."""
    if not jug.tells:
        yield "Less or more: count the bags and weigh again before anything is added."
        return
    yield f"Less: let bubbles go, weigh again; then {jug.thin}."
    yield f"More: {jug.thick}."
