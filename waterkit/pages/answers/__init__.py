"""Answers as JSON: numbers in core units, keys that carry their unit, null with its reason.

Money is a decimal string, dates are ISO 8601, a figure not known yet is null and ``reasons`` maps
its path (``samples.0.tds_calculated_mg_l``) to a sentence.
"""

from collections.abc import Callable

from waterkit.pages.answers.ice import layers, paint, pebble
from waterkit.pages.answers.season import buy, season
from waterkit.pages.answers.values import Answer, Json, speaker
from waterkit.pages.answers.water import resin, water
from waterkit.pages.view import findings_of, topic_of
from waterkit.plan import SeasonPlan

_TOPICS: dict[str, Callable[[SeasonPlan], Answer]] = {
    "water": water,
    "layers": layers,
    "paint": paint,
    "pebble": pebble,
    "resin": resin,
    "season": season,
    "buy": buy,
}


def answer_of(topic: str, plan: SeasonPlan) -> Json:
    """The answer to one topic, ready for ``json.dumps``."""
    say = speaker(plan)
    answer, reasons = _TOPICS[topic](plan)
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
