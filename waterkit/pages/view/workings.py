"""How a figure was worked out, in words: whose figures went in, where they stand, how sure."""

import datetime as dt
from decimal import Decimal

from waterkit.club.schema import Club
from waterkit.club.schema import Figure as ClubFigure
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import WorkingOut
from waterkit.working import Given, Value, Whose, Working


def working_out(working: Working, club: Club, figures: Figures) -> WorkingOut:
    """The formula, its inputs with whose they are, the result and the source."""
    own = {figure.path: figure for figure in club.figures}
    source = working.source.text
    if working.source.seen == "memory":
        source += " (quoted from memory)"
    return WorkingOut(
        sentence_case(working.figure),
        working.formula.replace(" x ", " × ").replace(" - ", " − "),
        tuple(_input(given, own.get(given.path), figures) for given in working.inputs),
        value_text(working.result, working.unit, figures, "worked out"),
        source,
        sentences(working.notes, figures),
    )


def sentence_case(text: str) -> str:
    """A text with a capital at its start, and nothing else changed."""
    return text[:1].upper() + text[1:]


def value_text(value: Value, unit: str, figures: Figures, whose: Whose = "quoted") -> str:
    """A number with its unit, money, a day or a moment; digits as far as they mean something."""
    if isinstance(value, dt.datetime):
        return figures.moment(value)
    if isinstance(value, dt.date):
        return figures.date(value)
    if isinstance(value, Decimal):
        return figures.money(value)
    return figures.reckoned(value, unit) if whose == "worked out" else figures.given(value, unit)


def _input(given: Given, own: ClubFigure | None, figures: Figures) -> str:
    name = sentence_case(given.name)
    shown = value_text(given.value, given.unit, figures, given.basis)
    if own is None:
        return f"{name}: {shown} ({given.basis})"
    return f"{name}: {shown} ({own.basis}, {_place(own)}{_range(own, figures)})"


def _place(own: ClubFigure) -> str:
    return "a default" if own.line is None else f"{own.file}:{own.line}"


def _range(own: ClubFigure, figures: Figures) -> str:
    if own.low is None and own.high is None:
        return ""
    low, high = (figures.given(value, own.unit) for value in (own.low, own.high))
    return f"; {low} to {high}"
