"""Results in words: each topic is one answer, worded once for page and terminal."""

from collections.abc import Callable
from dataclasses import replace

from waterkit.pages.view import ice, money, season, tank, water
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Topic
from waterkit.plan import SeasonPlan
from waterkit.working import Note

TOPICS: dict[str, Callable[[SeasonPlan, Figures], Topic]] = {
    "water": water.water,
    "layers": ice.layers,
    "paint": ice.paint,
    "pebble": ice.pebble,
    "resin": water.resin,
    "season": season.season,
    "buy": money.buy,
    "card": tank.card,
}


def findings_of(name: str, plan: SeasonPlan) -> tuple[Note, ...]:
    """What somebody must act on, as far as it belongs to a topic."""
    match name:
        case "layers":
            return plan.build_findings
        case "season":
            return (*plan.supply_findings, *plan.build_findings)
        case "buy":
            return plan.order_findings
    return ()


_STAND_INS = {
    "water": {"default-train", "default-vessels"},
    "layers": {"default-layers"},
    "paint": {"default-layers"},
    "pebble": {"default-layers", "default-draws"},
    "resin": {"default-train", "default-vessels"},
    "card": {"default-train"},
}


def topic_of(name: str, plan: SeasonPlan) -> Topic:
    """The answer to one topic in the club's own units and marks, with what stands in for files."""
    figures = Figures.of(plan.club)
    topic, keys = TOPICS[name](plan, figures), _STAND_INS.get(name)
    stand_ins = [note for note in plan.defaults if keys is None or note.key in keys]
    notes = dict.fromkeys((*sentences(stand_ins, figures), *topic.notes))
    return replace(topic, notes=tuple(notes))
