"""Values of an answer: finite numbers, money as text, dates, and the reason for each null."""

import datetime as dt
import math
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentence
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.plan import SeasonPlan

Json = dict[str, Any]
Answer = tuple[Json, Mapping[str, str]]
"""The keys of one topic, and why a key is null, by the key's own name or its whole path."""

LATER = "not worked out by this version yet"


def speaker(plan: "SeasonPlan") -> Callable[[Note], str]:
    """What makes a sentence of a note, in the club's units and language."""
    figures = Figures(plan.club.display, plan.club.locale, plan.club.currency)
    return lambda note: sentence(note, figures)


def number(value: Any) -> float | None:
    """A finite number; None stays None, and NaN or infinity become None."""
    if value is None:
        return None
    as_float = float(value)
    return as_float if math.isfinite(as_float) else None


def money(value: Decimal | None) -> str | None:
    """Money as a decimal string."""
    return None if value is None else str(value)


def day_text(value: dt.date | None) -> str | None:
    """A day as ISO 8601."""
    return value.isoformat() if value else None


def reasons_for_null(answer: Json, reasons: Mapping[str, str]) -> dict[str, str]:
    """The reason for each null of an answer, under its path (``samples.0.tds_calculated_mg_l``)."""
    return {
        path: reasons.get(path.rpartition(".")[2], "not given in the club's folder")
        for path in _nulls(answer, "")
    }


def _nulls(part: Any, path: str) -> Iterable[str]:
    if part is None:
        yield path
    elif isinstance(part, dict):
        for key, value in part.items():
            yield from _nulls(value, f"{path}.{key}" if path else key)
    elif isinstance(part, list):
        for number, value in enumerate(part):
            yield from _nulls(value, f"{path}.{number}")
