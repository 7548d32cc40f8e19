"""A checked batch in words: go on, put it right, or nobody can tell."""

from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.paint import ratio_text
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Fact, Topic
from waterkit.plan import SeasonPlan
from waterkit.plan.batch_check import Checked
from waterkit.quantities import MASS, VOLUME


def checked_batch(checked: Checked, plan: SeasonPlan, figures: Figures) -> Topic:
    """The outcome first, then the ratio with its range, and what to know of it."""
    reading, planned = checked.reading, plan.club.white.ratio
    low, high = (ratio_text(each, figures) for each in (reading.low_kg_l, reading.high_kg_l))
    between = f"between {low} and {high}, " if reading.high_kg_l > reading.low_kg_l else ""
    ratio = Fact(
        "Ratio",
        ratio_text(reading.ratio_kg_l, figures),
        f"{between}planned {ratio_text(planned.value_kg_l, figures)} of {planned.per}",
    )
    return Topic(
        f"Batch {checked.batch.batch}, checked by {'its bags' if checked.by == 'bags' else 'jug'}",
        (ratio,),
        notes=sentences(reading.notes, figures),
        cautions=(*cautions_at("powder", "mixing"), RULE),
        answer=_answer(checked, figures),
    )


def _answer(checked: Checked, figures: Figures) -> str:
    reading = checked.reading
    match reading.outcome:
        case "as planned":
            return "As planned: go on."
        case "thin":
            return f"Thin: add {figures.text(reading.add_powder_kg, MASS, 2)} of powder, mix again."
        case "thick":
            return f"Thick: add {figures.text(reading.add_water_l, VOLUME, 1)} of water, mix again."
    return "Jug and scale cannot tell: count the bags."
