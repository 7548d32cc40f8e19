"""Answers as JSON: numbers in core units, keys that carry their unit, null with its reason.

Money is a decimal string, dates are ISO 8601, a figure not known yet is null and ``reasons`` maps
its path (``samples.0.tds_calculated_mg_l``) to a sentence.
"""

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING

from waterkit.pages.answers.values import Answer, Json, speaker
from waterkit.pages.view import findings_of, topic_of

if TYPE_CHECKING:
    from waterkit.plan import SeasonPlan

_MODULES = {
    "water": "water",
    "layers": "ice",
    "paint": "paint",
    "pebble": "ice",
    "resin": "resin",
    "season": "season",
    "buy": "season",
}
"""Where each topic is answered, loaded once it is asked for."""


def answer_of(topic: str, plan: "SeasonPlan") -> Json:
    """The answer to one topic, ready for ``json.dumps``."""
    say = speaker(plan)
    module = import_module(f"{__name__}.{_MODULES[topic]}")
    answering: Callable[[SeasonPlan], Answer] = getattr(module, topic)
    answer, reasons = answering(plan)
    findings = findings_of(topic, plan)
    return {
        "club": plan.club.name,
        "as_of": plan.as_of.isoformat(),
        **answer,
        "findings": [{"key": note.key, "text": say(note)} for note in findings],
        "notes": list(topic_of(topic, plan).notes),
        "reasons": dict(reasons),
        "problems": [problem.row for problem in plan.club.problems],
    }
