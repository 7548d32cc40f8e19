"""A checked batch in words: go on, put it right, or nobody can tell."""

from waterkit.ice.checking import BatchReading
from waterkit.pages.view.cautions import RULE, cautions_at
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.paint import ratio_text
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Fact, Topic
from waterkit.plan.batch_check import Checked
from waterkit.quantities import MASS, VOLUME


def checked_batch(checked: Checked, figures: Figures) -> Topic:
    """The outcome first, then the ratio with its range, and what to know of it."""
    reading, planned = checked.reading, checked.planned
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
            return f"Thin: {to_add(reading, figures)}, mix again."
        case "thick":
            return f"Thick: {to_add(reading, figures)}, mix again."
        case "far off":
            return "Far from the plan: count the bags and weigh again before anything is added."
    return "Jug and scale cannot tell: count the bags."


def to_add(reading: BatchReading, figures: Figures) -> str:
    """What brings a batch to the ratio; where the tank has no room, with a drum beside it."""
    thin = reading.outcome == "thin"
    quantity, decimals, name = (MASS, 2, "powder") if thin else (VOLUME, 1, "water")
    amount = reading.add_powder_kg or reading.add_water_l
    if not reading.drum_share:
        return f"add {figures.text(amount, quantity, decimals)} of {name}"
    tank, drum = (
        figures.text(amount * share, quantity, decimals)
        for share in (1.0 - reading.drum_share, reading.drum_share)
    )
    pumped = figures.text(reading.drum_l, VOLUME, 1)
    return (
        f"pump {pumped} into a clean drum first, then add {tank} of {name} to the tank and {drum}"
        " to the drum"
    )
