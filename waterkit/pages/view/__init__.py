"""Results in words: each topic is one answer, worded once for page and terminal.

A topic is loaded once it is asked for.
"""

from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import Topic
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.plan import SeasonPlan


def _of(module: str, name: str) -> "Callable[[SeasonPlan, Figures], Topic]":
    """A topic of a module of this room."""

    def topic(plan: "SeasonPlan", figures: Figures) -> Topic:
        words: Topic = getattr(import_module(f"{__name__}.{module}"), name)(plan, figures)
        return words

    return topic


TOPICS: "dict[str, Callable[[SeasonPlan, Figures], Topic]]" = {
    "water": _of("water", "water"),
    "layers": _of("ice", "layers"),
    "paint": _of("paint", "paint"),
    "pebble": _of("ice", "pebble"),
    "resin": _of("resin", "resin"),
    "season": _of("season", "season"),
    "buy": _of("money", "buy"),
    "card": _of("tank", "card"),
}


def findings_of(name: str, plan: "SeasonPlan") -> tuple[Note, ...]:
    """What somebody must act on, as far as it belongs to a topic."""
    match name:
        case "layers":
            return plan.build_findings
        case "season":
            return (*plan.supply_findings, *plan.build_findings)
        case "paint":
            return plan.paint_findings
        case "resin":
            return plan.resin_findings
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


def topic_of(name: str, plan: "SeasonPlan") -> Topic:
    """The answer to one topic in the club's own units and marks, with what stands in for files."""
    figures = Figures.of(plan.club, plan.as_of)
    topic, keys = TOPICS[name](plan, figures), _STAND_INS.get(name)
    stand_ins = [note for note in plan.defaults if keys is None or note.key in keys]
    notes = dict.fromkeys((*sentences(stand_ins, figures), *topic.notes))
    return replace(topic, notes=tuple(notes))
