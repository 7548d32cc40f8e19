"""Advice in words: which input to find out first, what it moves, and how to find it out."""

from collections.abc import Callable, Sequence
from decimal import Decimal

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.hints import HINTS
from waterkit.pages.view.shapes import Column, Table, Topic
from waterkit.plan.advice import NOTICED, Advice
from waterkit.plan.usual import USUAL
from waterkit.quantities import VOLUME

TITLE = "Worth finding out first"
CAPTION = (
    "Each input is set to its low and to its high by itself. Ranges that are not the club's own,"
    " and how to find a figure out, are common practice, no source."
)
NOTHING = "No input that is missing or assumed would move litres or money."
BROKEN = "What would move litres or money cannot be worked out until the errors are mended."


def advice_topic(advice: Sequence[Advice], figures: Figures) -> Topic:
    """Advice as a topic for the terminal."""
    columns = (Column("Input"), Column("What it moves"), Column("How to find it out"))
    rows = tuple((named(one, figures), moved(one, figures), HINTS[one.key]) for one in advice)
    if not rows:
        return Topic(TITLE, notes=(NOTHING,))
    return Topic(TITLE, tables=(Table("", columns, rows, CAPTION),))


def no_advice() -> Topic:
    """What stands for advice where the folder's errors leave nothing to be planned."""
    return Topic(TITLE, notes=(BROKEN,))


def named(one: Advice, figures: Figures) -> str:
    """The input: where it stands, its figure, whose it is, and how far it may lie off."""
    place = one.path if one.line is None else f"{one.path} ({one.file}:{one.line})"
    if one.rows > 1:
        place = f"{one.file}: {one.path.rpartition(':')[2]}, all rows"
    value = "" if one.value is None else f" {figures.given(one.value, one.unit)},"
    return f"{place}:{value} {one.reason}{_range(one, figures)}"


def _range(one: Advice, figures: Figures) -> str:
    if one.bounds is None:
        return _range_of_rows(one, figures) if one.rows > 1 else ""
    whose = "the club's range" if one.own_range else "a usual range"
    low, high = (figures.given(bound, one.unit) for bound in one.bounds)
    return f"; {low} to {high} is {whose}"


def _range_of_rows(one: Advice, figures: Figures) -> str:
    """How far each row of a column may lie off, where the rows differ."""
    if one.own_range:
        return "; each within the club's range"
    usual = USUAL[one.key]
    if usual.by == "share":
        low, high = (figures.given(100 * end, "%") for end in (usual.low, usual.high))
        return f"; {low} to {high} of each is a usual range"
    low, high = (figures.given(abs(end), one.unit) for end in (usual.low, usual.high))
    return f"; {low} less to {high} more than each is a usual range"


def moved(one: Advice, figures: Figures) -> str:
    """What changes from the low to the high of an input, in litres and money."""
    parts = []
    for place, (name, text) in enumerate(_results(figures)):
        low, likely, high = (o.results[place] for o in (one.low, one.likely, one.high))
        if low is None or high is None or abs(high - low) <= NOTICED * max(abs(low), abs(high)):
            continue
        now = "" if likely is None else f" (now {text(likely)})"
        parts.append(f"{name} {text(min(low, high))} to {text(max(low, high))}{now}")
    told = "; ".join(parts)
    return f"{told[:1].upper()}{told[1:]}."


def _results(figures: Figures) -> tuple[tuple[str, Callable[[float], str]], ...]:
    """What a plan comes to, in the order of an outcome's results: its name, and how to tell it."""

    def litres(value: float) -> str:
        return figures.about(value, VOLUME)

    def money(value: float) -> str:
        return figures.money(Decimal(f"{value:.2f}"))

    return (
        ("treated water of the season", litres),
        ("water from one vessel", litres),
        ("purchases", money),
    )
