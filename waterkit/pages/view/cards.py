"""Paint cards: one batch each, step by step, to tick with wet gloves."""

from dataclasses import dataclass

from waterkit.ice.batches import Batch
from waterkit.pages.view.cautions import cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.plan import SeasonPlan
from waterkit.quantities import CONDUCTIVITY, DENSITY, MASS, VOLUME
from waterkit.water.limits import COMMON_LIMITS


@dataclass(frozen=True, slots=True)
class CardStep:
    """One thing to do and tick: the words, smaller ticks below it, and its cautions."""

    text: str
    ticks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BatchCard:
    """One batch: what goes in, and the steps in their order."""

    number: int
    of: int
    water: str
    powder: str
    bags: str
    steps: tuple[CardStep, ...]


def cards(plan: SeasonPlan, figures: Figures) -> tuple[BatchCard, ...]:
    """One card for each batch of the white."""
    plan.club.need("limits")
    if plan.paint is None:
        return ()
    batches = plan.paint.batches
    return tuple(
        BatchCard(
            batch.batch,
            len(batches),
            figures.text(batch.water_l, VOLUME, 1),
            figures.text(batch.powder_kg, MASS, 2),
            _bags(batch, figures),
            _steps(plan, batch, figures),
        )
        for batch in batches
    )


def _bags(batch: Batch, figures: Figures) -> str:
    if batch.whole_bags is None:
        return "weigh all of it: no offer says what a bag holds"
    whole = f"{batch.whole_bags} whole bag{'' if batch.whole_bags == 1 else 's'}"
    if not batch.weighed_kg:
        return whole
    weighed = f"{figures.text(batch.weighed_kg, MASS, 2)} weighed from an opened bag"
    return f"{whole} and {weighed}" if batch.whole_bags else weighed


def _steps(plan: SeasonPlan, batch: Batch, figures: Figures) -> tuple[CardStep, ...]:
    last = plan.paint is not None and batch.batch == len(plan.paint.batches)
    steps = (
        _check_water(plan, figures),
        *_make(plan, batch, figures),
        _check_density(batch, figures),
        *_spray(plan, figures, last),
    )
    return steps if not last else (*steps, _clean_up())


def _check_water(plan: SeasonPlan, figures: Figures) -> CardStep:
    limit = plan.club.limits.get("white", COMMON_LIMITS["white"]).good_us_cm
    return CardStep(
        "The water is good for white: at 25 °C no more than"
        f" {figures.given(limit, CONDUCTIVITY.unit)} (tank card). It is"
        " cold, unless the powder's own sheet asks for warm water."
    )


def _make(plan: SeasonPlan, batch: Batch, figures: Figures) -> tuple[CardStep, ...]:
    first = batch.batch == 1
    start = (
        "The mixing tank stands off the ice on a mat, is clean and empty."
        if first
        else f"The mixing tank is pumped down: about {figures.text(plan.club.white.heel_l, VOLUME)}"
        " of the batch before remains in it. Leave it in."
    )
    return (
        CardStep(start),
        CardStep(
            f"Water first: measure {figures.text(batch.water_l, VOLUME, 1)} into the tank, with a"
            " water meter or a vessel of known size."
        ),
        CardStep("Start the mixer.", cautions=cautions_at("mixing")),
        CardStep(
            "Respirator, goggles and gloves are on; others keep away.",
            cautions=cautions_at("powder"),
        ),
        CardStep(
            f"Powder second: add {figures.text(batch.powder_kg, MASS, 2)} slowly, low above the"
            " water, into the current.",
            _powder_ticks(batch, figures),
        ),
        CardStep(
            "No more water now. Do not fill up to the mark for the water: powder takes room of its"
            f" own, this batch makes {figures.text(batch.mix_l, VOLUME, 1)} of mix"
            f"{_on_heel(batch)}."
        ),
        CardStep("Mix 10 to 15 minutes, then keep mixing until the tank is empty."),
    )


def _on_heel(batch: Batch) -> str:
    return "" if batch.batch == 1 else " on top of what was left in the tank"


def _powder_ticks(batch: Batch, figures: Figures) -> tuple[str, ...]:
    whole = tuple(f"bag {number}" for number in range(1, (batch.whole_bags or 0) + 1))
    if not batch.weighed_kg:
        return whole
    return (*whole, f"{figures.text(batch.weighed_kg, MASS, 2)} weighed")


def _check_density(batch: Batch, figures: Figures) -> CardStep:
    return CardStep(
        "Check: bags counted and ticked. Then weigh the same jug full of water and full of mix:"
        f" mix weighs {figures.text(batch.density_kg_l, DENSITY)}, water 1, within what scale and"
        " jug can tell. Air stirred in makes it lighter."
    )


def _spray(plan: SeasonPlan, figures: Figures, last: bool) -> tuple[CardStep, ...]:
    tail = "" if last else " Stop when the pump draws air; the next batch goes on top."
    return (
        CardStep(
            "Strain the mix into the pump and spray in even, slightly overlapping lanes." + tail,
            cautions=cautions_at("spraying"),
        ),
    )


def _clean_up() -> CardStep:
    return CardStep(
        "Last batch sprayed: rinse tank, hose and boom. Water through the boom seals the white.",
        cautions=cautions_at("wash-out"),
    )
