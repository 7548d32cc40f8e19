"""What a paint card is made of: sides, steps, and the words that a batch, or a pen, fills in."""

from dataclasses import dataclass

BLANK = "____"
"""A line to write on; the template draws it."""


@dataclass(frozen=True, slots=True)
class CardStep:
    """One thing to do and tick: the words, more to tick below it, and its cautions.

    ``more`` are words without a box below it, ``write`` what is written down there.
    """

    text: str
    ticks: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    write: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CardSide:
    """One side of a card: where it hangs, and its steps in the order of the work."""

    place: str
    steps: tuple[CardStep, ...]


@dataclass(frozen=True, slots=True)
class JugWords:
    """What the jug should show: expected, from, up to; what to do with a thin or thick batch."""

    expected: str
    low: str
    high: str
    thin: str
    thick: str
    tells: bool


@dataclass(frozen=True, slots=True)
class Filling:
    """The figures of one batch in words; on a card to fill in, lines.

    ``left`` is what stands in the tank before and stays in it after; empty where that is nothing.
    ``scale`` is where measured water stands on the tank's own scale, if something is left in it.
    """

    anchor: str
    title: str
    first: bool
    last: bool
    blank: bool
    left: str
    water: str
    scale: str
    mark: str
    part: str
    powder: str
    bags: str
    ticks: tuple[str, ...]
    bag_too_many: str
    jug: JugWords | None
    so_far: tuple[str, str]
    coats: tuple[str, ...]
    after: str
