"""The shapes that pages and terminal loop over: everything in them is text already."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Literal

from waterkit.errors import Problem

UNKNOWN = "–"
"""What stands for a figure that is not known yet; what does not apply is left empty."""
NOTHING: Mapping[int, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Column:
    """A column's head, its unit (empty for words and dates), and which way its cells lean."""

    head: str
    unit: str = ""
    align: Literal["left", "right"] = "left"


@dataclass(frozen=True, slots=True)
class Table:
    """A table of words, whose rows are named by number.

    ``marks`` are the rows that stand out (late, short); ``groups`` what is said above a row, for it
    and those below; ``links`` where the name of a row leads. ``head`` is the column that names a
    row, ``folded`` tells whether a page shows the table only when asked. By its ``name`` a page
    finds the drawing that belongs beside it.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    marks: frozenset[int] = frozenset()
    head: int | None = 0
    name: str = ""
    groups: Mapping[int, str] = field(default_factory=lambda: NOTHING)
    links: Mapping[int, str] = field(default_factory=lambda: NOTHING)
    folded: bool = False

    @property
    def anchor(self) -> str:
        """A name for its place on a page, made of its title."""
        return "table-" + re.sub(r"\W+", "-", self.title.casefold()).strip("-")


LONG_TEXT = 60
"""Letters of a name in a table; further ones are cut: the name stands whole elsewhere."""


def brief(text: str) -> str:
    """A name short enough for a line of a table."""
    return text if len(text) <= LONG_TEXT else f"{text[: LONG_TEXT - 1].rstrip()}…"


def lean(table: Table, nothing: Iterable[str] = ("", UNKNOWN)) -> Table:
    """A table without the columns that tell nothing in any row; the first one always stays."""
    told = [
        place
        for place in range(len(table.columns))
        if place == 0 or not table.rows or {row[place] for row in table.rows} - set(nothing)
    ]
    columns = tuple(table.columns[place] for place in told)
    rows = tuple(tuple(row[place] for place in told) for row in table.rows)
    return replace(table, columns=columns, rows=rows)


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
class Fact:
    """One figure that matters: what it is, its value with unit, a short remark, how it came.

    Its working ends in the same digits.
    """

    label: str
    text: str
    remark: str = ""
    working: WorkingOut | None = None

    def __post_init__(self) -> None:
        if self.working is not None:
            object.__setattr__(self, "working", replace(self.working, result=self.text))


@dataclass(frozen=True, slots=True)
class Topic:
    """One answer in words, the same for page and terminal.

    The ``answer`` is the sentence that is read first. Then at most five ``facts``, ``findings``
    (what somebody must act on), tables, the working out of further figures, notes (assumptions) and
    cautions.
    """

    title: str
    facts: tuple[Fact, ...] = ()
    findings: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    workings: tuple[WorkingOut, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    answer: str = ""


def unanswered(title: str, problems: Iterable[Problem]) -> Topic:
    """What stands for an answer where the folder's errors are in its way."""
    errors = tuple(str(problem) for problem in problems if problem.severity == "error")
    return Topic(
        title,
        findings=(*errors, "Not answered until this is mended: 'waterkit check' tells the cures."),
        answer="Not answered yet: something in the folder stands in the way.",
    )
