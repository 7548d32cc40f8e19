"""How an answer explains itself: notes, sources and the working out behind a figure.

A note is a key with its values, never a sentence: ``pages.view`` words it, the same for page,
terminal and JSON. A :class:`Source` is written once and used by docstring, page, docs and test.
"""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

Basis = Literal["measured", "quoted", "assumed"]
Whose = Basis | Literal["worked out"]
"""Whose figure an input is; ``worked out`` is a result of a step before."""
Value = float | Decimal | dt.date
"""A number in the unit that stands beside it, money, a day or a moment."""
Seen = Literal["seen", "memory", "practice"]

NO_VALUES: Mapping[str, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Note:
    """A remark on a result: ``key`` picks the sentence, ``values`` fill it."""

    key: str
    values: Mapping[str, object] = field(default_factory=lambda: NO_VALUES)


@dataclass(frozen=True, slots=True)
class Source:
    """Where a formula or a figure comes from.

    ``seen`` tells how far it can be trusted: the text itself was ``seen``, it is quoted from
    ``memory``, or it is common ``practice`` in the trade without a published source.
    """

    key: str
    text: str
    seen: Seen = "seen"


@dataclass(frozen=True, slots=True)
class Given:
    """One input of a working: its name, value, unit, and whose figure it is.

    ``path`` names the club's own figure (``white.loss``, ``vessels.csv:V1:resin``) where it is one:
    the club knows whose that is, where it stands and how far it may be off.
    """

    name: str
    value: Value
    unit: str = ""
    basis: Whose = "assumed"
    path: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """How one figure was worked out: the formula in words, its inputs, its source."""

    figure: str
    formula: str
    inputs: tuple[Given, ...]
    result: Value
    unit: str
    source: Source
    notes: tuple[Note, ...] = ()


BALANCE = Source("balance", "a balance: what goes in is what comes out", "seen")
CALENDAR = Source("calendar", "counted on the calendar", "seen")
COMMON_PRACTICE = Source("practice", "common practice, no source", "practice")
