"""The side of a paint card that hangs at the tank: water, powder, mixing, checking."""

from collections.abc import Iterator

from waterkit.ice.exposure import DustLimit, dust_limits
from waterkit.ice.paint import swapped_percent
from waterkit.pages.view.card_parts import BLANK, CardSide, CardStep, Filling, JugWords
from waterkit.pages.view.cautions import cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import UNKNOWN
from waterkit.plan import SeasonPlan
from waterkit.quantities import CONDUCTIVITY, DUST, MASS_G, PERCENT, TEMPERATURE, VOLUME
from waterkit.water.limits import COMMON_LIMITS

PART_FIRST = 2.0 / 3.0
"""Of the water goes in before the powder, where a mark is filled up to: common practice."""
COLD_C = (5.0, 15.0)
"""Water for the mix; hot water lumps some powders: common practice, no source."""
BODIES = {
    "osha-z-1": "OSHA table Z-1",
    "niosh-cib-63": "NIOSH CIB 63",
    "niosh-guide": "NIOSH guide",
}


def side(plan: SeasonPlan, filling: Filling, figures: Figures) -> CardSide:
    """Everything that is done at the tank, in the order of the work."""
    of_water = plan.club.white.ratio.per == "water"
    steps = (
        _crew(plan),
        _check_water(plan, figures),
        CardStep(_tank(plan, filling, figures)),
        *((_measured if of_water else _to_mark)(plan, filling, figures)),
        CardStep("Mix 10 to 15 minutes; keep mixing until the tank is empty."),
        _count_bags(filling),
        _weigh_jug(plan, filling.jug, figures),
    )
    return CardSide("At the tank", steps)


def _crew(plan: SeasonPlan) -> CardStep:
    people = (plan.painting.step.row.people if plan.painting else None) or plan.club.people.crew
    posts = " ".join(f"{post}\u00a0{BLANK}" for post in ("boom", "hose", "mixer", "shields"))
    return CardStep(f"A crew of {people}, nobody works alone: {posts}")


def _check_water(plan: SeasonPlan, figures: Figures) -> CardStep:
    limit = plan.club.limits.get("white", COMMON_LIMITS["white"]).good_us_cm
    low, high = (figures.number(each, TEMPERATURE, 0) for each in COLD_C)
    cold = f"{low} to {high}\u00a0{figures.unit(TEMPERATURE)}"
    return CardStep(
        f"Water at tank and hose end: at most {figures.given(limit, CONDUCTIVITY.unit)} at 25 °C"
        f" (tank card), cold ({cold}). {BLANK}\u00a0{figures.unit(CONDUCTIVITY)},"
        f" {BLANK}\u00a0{figures.unit(TEMPERATURE)}"
    )


def _tank(plan: SeasonPlan, filling: Filling, figures: Figures) -> str:
    if filling.first:
        return "Mixing tank: off the ice, on its mat, clean, empty."
    heel = figures.text(plan.club.white.heel_l, VOLUME)
    return f"Mixing tank: pumped down, about {heel} left in it."


def _measured(plan: SeasonPlan, filling: Filling, figures: Figures) -> tuple[CardStep, ...]:
    """Powder for each litre of water: measure the water, add the powder, and no more water."""
    return (
        CardStep(f"Water first: measure {filling.water} into the tank."),
        _mixer(),
        _respirator(plan, figures),
        _powder(filling),
        CardStep(f"No more water, no filling up to a mark. {_swapped(plan, figures)}"),
    )


def _to_mark(plan: SeasonPlan, filling: Filling, figures: Figures) -> tuple[CardStep, ...]:
    """Powder for each litre of mix: some water, the powder, then water up to the mark."""
    return (
        CardStep(f"Water first, a part of it: about {filling.part}."),
        _mixer(),
        _respirator(plan, figures),
        _powder(filling),
        CardStep(
            f"Water last: fill up to {filling.mark} in the tank, do not measure it."
            f" {_swapped(plan, figures)}"
        ),
    )


def _swapped(plan: SeasonPlan, figures: Figures) -> str:
    white = plan.club.white
    off = float(swapped_percent(white.ratio, white.powder_density_kg_l))
    way = "too strong" if off > 0 else "too thin"
    percent = figures.text(abs(off), PERCENT)
    return f"Do not mix up the two ways: this mix would come out {percent} {way}."


def _mixer() -> CardStep:
    return CardStep("Start the mixer.", cautions=cautions_at("mixing"))


def _respirator(plan: SeasonPlan, figures: Figures) -> CardStep:
    limits = [limit for limit in dust_limits(plan.club.white.powder) if not limit.danger]
    told = "; ".join(_dust(limit, figures) for limit in limits)
    return CardStep(
        "Respirator, goggles and gloves are on; others keep away.",
        cautions=(*cautions_at("powder"), f"Dust limits: {told}."),
    )


def _dust(limit: DustLimit, figures: Figures) -> str:
    most = figures.text(limit.mg_m3, DUST, 1 if limit.mg_m3 % 1 else 0)
    return f"{limit.dust} {most} ({BODIES[limit.source.key]})"


def _powder(filling: Filling) -> CardStep:
    return CardStep(
        f"Powder second: {filling.powder}, slowly, low, into the current.",
        filling.ticks,
    )


def _count_bags(filling: Filling) -> CardStep:
    if not any(tick.startswith("bag") for tick in filling.ticks):
        return CardStep("Check: all of the weighed powder is in, and none of it twice.")
    text = "Check: count the empty bags. One too few: add it."
    if filling.bag_too_many != UNKNOWN:
        text += f" One too many: {filling.bag_too_many} more water."
    return CardStep(text)


def _weigh_jug(plan: SeasonPlan, jug: JugWords | None, figures: Figures) -> CardStep:
    if jug is None or plan.club.white.jug_l is None:
        return CardStep("There is no jug and scale in club.toml to check with: the bags count.")
    size, grams = figures.given(plan.club.white.jug_l, "L"), figures.unit(MASS_G)
    text = (
        f"Then the same jug, {size}, with water and with mix: mix weighs {jug.expected} more than"
        f" water. {jug.low} to {jug.high}: go on."
    )
    write = (f"water {BLANK} {grams}", f"mix {BLANK} {grams}", f"more {BLANK} {grams}")
    return CardStep(text, more=tuple(_beside(plan, jug, figures)), write=write)


def _beside(plan: SeasonPlan, jug: JugWords, figures: Figures) -> Iterator[str]:
    """What to do if the jug shows something else."""
    if not jug.tells:
        yield "In between, jug and scale are too coarse to tell: the bags count."
    tank = figures.text(plan.club.white.tank_l, VOLUME)
    yield f"Less: let bubbles go, weigh again; then {jug.thin} missing."
    yield f"More: {jug.thick} too much; the tank holds {tank}, spray some first if need be."
