"""The shapes that pages and terminal loop over: everything in them is text already."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Column:
    """A column's head, its unit (empty for words and dates), and which way its cells lean."""

    head: str
    unit: str = ""
    align: Literal["left", "right"] = "left"


@dataclass(frozen=True, slots=True)
class Table:
    """A table of words; ``marks`` names the rows to make stand out (late, short), by number.

    ``row_heads`` tells whether the first cell of a row names it; ``wide`` whether paper should be
    turned for it.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    marks: frozenset[int] = frozenset()
    row_heads: bool = True
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """One figure that matters: what it is, its value with unit, and a short remark."""

    label: str
    text: str
    remark: str = ""


@dataclass(frozen=True, slots=True)
class WorkingOut:
    """How a figure came about, in words: formula, inputs with whose they are, source, notes."""

    figure: str
    formula: str
    inputs: tuple[str, ...]
    result: str
    source: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Topic:
    """One answer in words, the same for page and terminal.

    At most five ``facts``; then ``findings`` (what somebody must act on), tables, the working out,
    notes (assumptions) and cautions.
    """

    title: str
    facts: tuple[Fact, ...] = ()
    findings: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    workings: tuple[WorkingOut, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
