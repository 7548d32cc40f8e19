"""Advice as JSON: numbers in core units, results at the input's low, as it is, and at its high."""

from collections.abc import Sequence

from waterkit.pages.answers.values import Json, number
from waterkit.pages.view.advice import moved, named
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.hints import HINTS
from waterkit.plan.advice import Advice

REASONS = {
    "value": "the club has not told this figure, or its rows differ in it",
    "low": "a missing file has no one figure",
    "high": "a missing file has no one figure",
    "line": "it does not stand in the file yet, or is a default",
    "litres_di": "the plan cannot tell the water of the season",
    "litres_to_change": "without a vessel nothing is changed",
    "total": "the plan cannot tell the total",
}


def advice_rows(advice: Sequence[Advice], figures: Figures) -> list[Json]:
    """One row for each input."""
    return [_row(one, figures) for one in advice]


def _row(one: Advice, figures: Figures) -> Json:
    low, high = one.bounds or (None, None)
    three = (one.low, one.likely, one.high)
    return {
        "input": one.path,
        "file": one.file,
        "line": one.line,
        "reason": one.reason,
        "value": number(one.value),
        "low": number(low),
        "high": number(high),
        "unit": one.unit,
        "own_range": one.own_range,
        "moves_percent": round(100 * one.moves, 2),
        "litres_di": [number(outcome.litres_di) for outcome in three],
        "litres_to_change": [number(outcome.litres_to_change) for outcome in three],
        "total": [None if o.money is None else f"{o.money:.2f}" for o in three],
        "text": f"{named(one, figures)}. {moved(one, figures)}",
        "how": HINTS[one.key],
    }
