"""May this water be used? The rules, one by one, lead to one verdict.

A verdict is the worst that any rule gives; its headline is the first rule that gives it. Every
rule that applies is told, as a key with its values; but nothing that speaks for the water where it
must not be used, or where the reading is not believed. A phone that runs the same rules over the
same :class:`~waterkit.tank.baked.Baked` finds the same keys in the same order.
"""

from dataclasses import dataclass

from waterkit.tank.baked import Baked
from waterkit.tank.case import Case, Known, Said
from waterkit.tank.rules import DISBELIEF, RULES, Verdict
from waterkit.water.limits import Use
from waterkit.working import Note

VERDICTS: tuple[Verdict, ...] = ("do not fill", "hold", "fill")


@dataclass(frozen=True, slots=True)
class Decision:
    """The verdict, the rules that led to it, worst first, and what they compared."""

    verdict: Verdict
    reasons: tuple[Note, ...]
    steps: tuple[Note, ...]
    use: Use
    actual: int
    good: int
    act: int
    air: int
    good_shown: int
    act_shown: int
    air_shown: int


def judge(table: Baked, said: Said, known: Known) -> Decision:
    """Judge one reading. Everything it needs is handed in: no clock, no file, no model."""
    case = Case(table, said, known)
    found = [(rule, values) for rule in RULES if (values := rule.test(case)) is not None]
    worst = min((VERDICTS.index(rule.verdict) for rule, _ in found), default=2)
    if worst == 0 or any(rule.key in DISBELIEF for rule, _ in found):
        found = [(rule, values) for rule, values in found if rule.verdict != "fill"]
    return Decision(
        VERDICTS[worst],
        tuple(Note(rule.key, values) for rule, values in found),
        tuple(Note(key) for key in dict.fromkeys(key for rule, _ in found for key in rule.steps)),
        case.use,
        case.actual,
        case.good,
        case.act,
        case.air,
        case.shown(case.good),
        case.shown(case.act),
        case.shown(case.air),
    )
