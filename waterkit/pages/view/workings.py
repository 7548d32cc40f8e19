"""How a figure was worked out, in words."""

from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.shapes import WorkingOut
from waterkit.working import Working


def working_out(working: Working, figures: Figures) -> WorkingOut:
    """The formula, its inputs with whose they are, the result and the source."""
    inputs = tuple(
        f"{given.name}: {figures.given(given.value, given.unit)} ({given.basis})"
        for given in working.inputs
    )
    source = working.source.text
    if working.source.seen == "memory":
        source += " (quoted from memory)"
    return WorkingOut(
        working.figure,
        working.formula,
        inputs,
        figures.given(working.result, working.unit),
        source,
        sentences(working.notes, figures),
    )
