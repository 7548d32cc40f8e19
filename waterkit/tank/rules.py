"""The rules of the verdict in their order: what must not be used, what waits, what may be used.

Each function tells what it compared where its rule applies, else None; a phone ports them one by
one. Values named ``*_shown`` are what the meter shows or would show.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from waterkit.tank.case import DOUBTS, FAULTS, MORE, REFUSED, Case, Values, compensates, is_over

Verdict = Literal["fill", "hold", "do not fill"]

WARMEST_BELIEVED = 600
"""Water in tenths of a degree, up to which the model holds; 60 degC is hot water for pebble."""
LIKE_FEED = (4, 5)
ABOVE_FEED = (6, 5)
"""From 0.8 of the supply on water is like the supply, above 1.2 of it it is reject: common
practice, no source."""
FELL = 8
"""Water does not become so many times better by itself: a decimal point, or a unit. Common
practice, no source; carbon dioxide that leaves makes it some 5 times better at most."""
RESIN_RESERVE = (5, 4)
"""What is left in the resin over what a fill takes: common practice, no source."""


Test = Callable[[Case], Values | None]
"""The values of a rule that applies; None of one that does not."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its key, what it leads to, what it tests, and what to do about it."""

    key: str
    verdict: Verdict
    test: Test
    steps: tuple[str, ...] = ()


def _shown(case: Case, **actual: int) -> Values:
    """Values as the meter shows them, under names that say so."""
    return {f"{name}_shown": case.shown(value) for name, value in actual.items()}


# Do not fill.


def _seen(case: Case) -> Values | None:
    seen = tuple(what for what in REFUSED if what in case.said.seen)
    return {"seen": seen} if seen else None


def _above_feed(case: Case) -> Values | None:
    feed = case.feed
    over = feed is not None and is_over(case.actual, feed, ABOVE_FEED)
    return _shown(case, feed=feed) if feed is not None and over else None


def _like_feed(case: Case) -> Values | None:
    feed = case.feed
    if feed is None or is_over(case.actual, feed, ABOVE_FEED):
        return None
    like = case.actual * LIKE_FEED[1] >= feed * LIKE_FEED[0]
    return _shown(case, feed=feed) if like else None


def _above_act(case: Case) -> Values | None:
    return _shown(case, act=case.act) if case.over_act else None


# Hold: the reading cannot be believed.


def _reads_zero(case: Case) -> Values | None:
    return {} if case.said.shown == 0 else None


def _below_pure(case: Case) -> Values | None:
    """Less than pure water by more than the meter's last digit; the model may be 5 % high."""
    pure = case.shown(case.pure * 9 // 10)
    low = case.said.shown > 0 and 2 * case.said.shown + case.meter.resolution < 2 * pure
    return _shown(case, pure=case.pure) if low and case.meter.known else None


def _temperature(case: Case) -> Values | None:
    return None if 0 <= case.said.tenths <= WARMEST_BELIEVED else {}


def _compensation_unknown(case: Case) -> Values | None:
    return None if case.meter.known else {}


def _compensation_unusable(case: Case) -> Values | None:
    return None if compensates(case) else {}


def _wrong_unit(case: Case) -> Values | None:
    wrong = case.meter.known and case.said.unit != case.meter.unit
    return {"unit": case.meter.unit} if wrong else None


def _maybe_thousandfold(case: Case) -> Values | None:
    """A figure that would be the supply in mS/cm."""
    feed = case.feed
    near = feed is not None and abs(case.actual * 1000 - feed) * 5 <= feed
    return _shown(case, feed=feed) if feed is not None and near else None


def _thousandfold(case: Case) -> Values | None:
    """Such a figure, and it is finer than the meter's last digit, or less than air alone does."""
    step = case.meter.resolution
    finer = step > 0 and case.said.shown % step != 0
    below_air = case.open and case.actual < case.air_empty
    return _maybe_thousandfold(case) if finer or below_air else None


def _frozen(case: Case) -> Values | None:
    return {} if case.said.shown == case.known.frozen_shown else None


def _fell(case: Case) -> Values | None:
    earlier = case.known.earlier_25
    if earlier is None or earlier <= case.good_25:
        return None
    fell = case.actual * FELL <= case.at(earlier)
    return _shown(case, earlier=case.at(earlier)) if fell else None


def _unsteady(case: Case) -> Values | None:
    return {} if "unsteady" in case.said.seen else None


def _rinsing(case: Case) -> Values | None:
    told = "rinsing" in case.said.seen
    outlet = case.said.point == "DI outlet" and case.known.rinse_l > 0
    return {"litres": case.known.rinse_l} if told or outlet else None


# Hold: the water waits for a release, or the resin for a change.


def _log_unread(case: Case) -> Values | None:
    return {} if case.known.log_unread else None


def _spent(case: Case) -> bool:
    return case.known.litres_left == 0 and case.said.point == "DI outlet"


def _resin_spent(case: Case) -> Values | None:
    return {} if _spent(case) else None


def _resin_short(case: Case) -> Values | None:
    left, needed = case.known.litres_left, case.to_make
    if left is None or _spent(case):
        return None
    short = left * RESIN_RESERVE[1] < needed * RESIN_RESERVE[0]
    return {"left_l": left, "needed_l": needed} if short else None


def _air_or_resin(case: Case) -> Values | None:
    unknown = case.maybe_air and case.known.outlet_25 is None
    return _shown(case, good=case.good, air=case.air) if unknown else None


def _above_good(case: Case) -> Values | None:
    over = case.actual > case.good and not case.over_act and not case.explained
    asked = case.maybe_air and case.known.outlet_25 is None
    return _shown(case, good=case.good) if over and not asked else None


# Fill, and what to watch.


def _explained(case: Case) -> Values | None:
    return _shown(case, good=case.good, air=case.air) if case.explained else None


def _within_good(case: Case) -> Values | None:
    return _shown(case, good=case.good) if case.actual <= case.good else None


def _air_alone(case: Case) -> Values | None:
    alone = case.open and case.air_empty // 2 <= case.actual <= case.air
    return _shown(case, air=case.air) if alone else None


def _more_than_air(case: Case) -> Values | None:
    more = case.open and case.air < case.actual <= case.good
    return _shown(case, air=case.air) if more else None


def _outlet_above_air(case: Case) -> Values | None:
    worn = not case.open and case.said.point == "DI outlet" and case.actual > case.air_empty
    return _shown(case, air=case.air_empty) if worn else None


def _below_outlet(case: Case) -> Values | None:
    outlet = case.outlet
    return _shown(case, outlet=outlet) if outlet is not None and case.actual < outlet else None


def _above_outlet(case: Case) -> Values | None:
    outlet = case.outlet
    over = outlet is not None and is_over(case.actual, outlet + case.adds, MORE)
    return _shown(case, outlet=outlet) if outlet is not None and over else None


def _change_mark(case: Case) -> Values | None:
    mark, outlet = case.known.change_25, case.said.point == "DI outlet"
    reached = mark is not None and outlet and case.actual >= case.at(mark)
    return _shown(case, mark=case.at(mark)) if mark is not None and reached else None


def _above_expected(case: Case) -> Values | None:
    most, outlet = case.known.expected_25, case.said.point == "DI outlet"
    over = most is not None and outlet and case.actual > case.at(most)
    return _shown(case, expected=case.at(most)) if most is not None and over else None


def _limit_below_air(case: Case) -> Values | None:
    below = case.open and case.good < case.air
    return _shown(case, good=case.good, air=case.air) if below else None


def _coarse(case: Case) -> Values | None:
    """A last digit that is more than a tenth of the limit."""
    return {} if case.meter.resolution * 10 > case.shown(case.good) else None


def _more_than_tank(case: Case) -> Values | None:
    holds = case.known.tank_l
    over = holds is not None and case.said.point != "DI outlet" and case.in_tank > holds
    return {"wanted_l": case.in_tank, "holds_l": holds} if holds is not None and over else None


def _wants_in_tank(case: Case) -> Values | None:
    holds = case.known.tank_l
    there = case.said.point != "DI outlet" and case.said.litres > 0
    over = holds is not None and case.in_tank > holds
    return {"wanted_l": case.in_tank} if there and not over else None


def _feed_odd(case: Case) -> Values | None:
    odd = case.known.feed_odd_25
    return None if odd is None else _shown(case, feed=case.at(odd))


def _standard(key: str, verdict: Verdict = "hold") -> Rule:
    """A rule about the meter's check."""
    steps = {
        "standard-expired": ("open-a-new-standard", "check-with-standard"),
        "standard-overdue": ("check-with-standard",),
        "never-checked": ("check-with-standard",),
        "meter-drifts": ("check-with-standard",),
    }.get(key, ("see-the-meter", "check-with-standard"))
    return Rule(key, verdict, lambda case: {} if case.known.standard == key else None, steps)


READ_AGAIN = ("read-again",)
RELEASE = ("read-again", "ask-for-release")

RULES: tuple[Rule, ...] = (
    Rule("seen", "do not fill", _seen, ("keep-out", "look-at-tank")),
    Rule("above-feed", "do not fill", _above_feed, ("keep-out", "look-at-hoses", "look-at-unit")),
    Rule("like-feed", "do not fill", _like_feed, ("keep-out", "look-at-hoses")),
    Rule("above-act", "do not fill", _above_act, ("keep-out", "read-again")),
    Rule("reads-zero", "hold", _reads_zero, ("look-at-cell", "finer-meter")),
    Rule("below-pure", "hold", _below_pure, ("look-at-cell", "see-the-meter")),
    Rule("temperature-implausible", "hold", _temperature, READ_AGAIN),
    Rule("compensation-unknown", "hold", _compensation_unknown, ("find-compensation",)),
    Rule("compensation-unusable", "hold", _compensation_unusable, ("find-compensation",)),
    Rule("wrong-unit", "hold", _wrong_unit, ("look-at-unit",)),
    Rule("unit-thousandfold", "hold", _thousandfold, ("look-at-unit", "ask-for-release")),
    Rule("frozen", "hold", _frozen, ("look-at-cell", "check-with-standard")),
    Rule("fell-by-itself", "hold", _fell, ("look-at-unit", "read-again")),
    Rule("unsteady", "hold", _unsteady, ("look-at-cell",)),
    Rule("rinsing", "hold", _rinsing, ("rinse-on", "log-the-total", "read-again")),
    *map(_standard, FAULTS),
    Rule("log-unread", "hold", _log_unread, ("mend-the-log", "ask-for-release")),
    Rule("resin-spent", "hold", _resin_spent, ("change-vessel", "ask-for-release")),
    Rule("resin-short", "hold", _resin_short, ("change-vessel",)),
    Rule("air-or-resin", "hold", _air_or_resin, ("read-outlet", "ask-for-release")),
    Rule("above-good", "hold", _above_good, RELEASE),
    Rule("air-explains", "fill", _explained),
    Rule("within-good", "fill", _within_good),
    Rule("air-alone", "fill", _air_alone),
    Rule("more-than-air", "fill", _more_than_air, ("read-outlet",)),
    Rule("outlet-above-air", "fill", _outlet_above_air, ("count-litres",)),
    Rule("below-outlet", "fill", _below_outlet),
    Rule("above-outlet", "fill", _above_outlet, ("look-at-tank",)),
    Rule("change-mark", "fill", _change_mark, ("change-vessel",)),
    Rule("above-expected", "fill", _above_expected, ("count-litres",)),
    Rule("limit-below-air", "fill", _limit_below_air, ("raise-limit",)),
    Rule("coarse-meter", "fill", _coarse, ("finer-meter",)),
    Rule("wants-in-tank", "fill", _wants_in_tank, ("flush-hose",)),
    Rule("more-than-tank", "fill", _more_than_tank, ("fill-meanwhile",)),
    Rule("maybe-thousandfold", "fill", _maybe_thousandfold, ("look-at-unit",)),
    Rule("feed-odd", "fill", _feed_odd, ("read-the-feed",)),
    *(_standard(key, "fill") for key in DOUBTS),
)  # fmt: skip
"""The worst first; the first of the worst is the headline."""

DISBELIEF = frozenset((
    "reads-zero", "below-pure", "temperature-implausible", "compensation-unknown",
    "compensation-unusable", "wrong-unit", "unit-thousandfold", "frozen", "fell-by-itself",
    "unsteady",
))  # fmt: skip
"""Rules that take the belief from a reading: what it would mean is not told beside them."""
