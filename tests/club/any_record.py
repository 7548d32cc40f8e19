"""Any record of a kind, for hypothesis: derived from its fields as the reader of files is."""

import dataclasses
import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Literal, get_args, get_origin

from hypothesis import strategies as st

from waterkit.club.models import Slot, slots_of
from waterkit.ice.layers import Area
from waterkit.ice.paint import Ratio
from waterkit.quantities import Quantity
from waterkit.treatment.ion_exchange import Endpoint

Strategy = st.SearchStrategy[Any]

# Letters, and what makes trouble in TOML and CSV. A name as read has single blanks between words;
# none looks like a formula, a number or a date.
_TROUBLE = "abcXYZäß漢'\"\\#[]{}=,:/.-+%&<>|~`$*?!()\x01\x7f\u200b😀"
_WORD = st.text(_TROUBLE, min_size=1, max_size=8)
WORDS = st.builds(
    lambda first, rest: " ".join([first, *rest]),
    st.text("abcdefXYZäß漢", min_size=1, max_size=6),
    st.lists(_WORD, max_size=2),
)
DATES = st.dates(dt.date(2000, 1, 1), dt.date(2060, 12, 31))
TIMES = st.times().map(lambda time: time.replace(second=0, microsecond=0))
MONEY = st.decimals(0, 100_000, places=2)
COUNTS = st.integers(0, 500)
ENDPOINTS = st.builds(
    Endpoint, st.sampled_from(["conductivity", "silica", "litres"]), st.floats(0.01, 100)
)
AREAS = st.sampled_from([Area("sheets"), Area("floor")]) | st.floats(0.5, 500).map(
    lambda m2: Area("figure", m2)
)
RATIOS = st.builds(Ratio, st.floats(0.05, 1.5), st.sampled_from(["water", "mix"]))
PLAIN: Mapping[object, Strategy] = {
    str: WORDS | st.just(""),
    int: COUNTS,
    bool: st.booleans(),
    float: st.floats(0, 1e6),
    Decimal: MONEY,
    dt.date: DATES,
    dt.time: TIMES,
    dt.date | int: DATES | st.integers(0, 6),
    dt.date | str: DATES | WORDS,
    Area: AREAS,
    Ratio: RATIOS,
    Endpoint: ENDPOINTS,
    tuple[str, ...]: st.just(()),
}


def figures(quantity: Quantity) -> Strategy:
    return st.floats(quantity.low, quantity.high)


def of_slot(record: type, slot: Slot) -> Strategy:
    """Whatever a field of a record can hold."""
    strategy = _of_hint(record, slot)
    may_be_none = slot.default is None
    return st.none() | strategy if may_be_none else strategy


def _of_hint(record: type, slot: Slot) -> Strategy:
    hint = slot.hint
    if slot.quantity is not None and hint is float:
        return figures(slot.quantity)
    if hint in PLAIN:
        return PLAIN[hint]
    if get_origin(hint) is Literal:
        return st.sampled_from(get_args(hint))
    if get_origin(hint) is tuple:
        part = get_args(hint)[0]
        inner = Slot(slot.attribute, slot.key, part, slot.quantity, slot.default)
        return st.lists(_of_hint(record, inner), max_size=3).map(tuple)
    if dataclasses.is_dataclass(hint):
        return any_of(hint)  # type: ignore[arg-type]
    return st.just(slot.default)


def any_of(record: type, **more: Strategy) -> Strategy:
    """Any record of a kind, some of its fields by name."""
    fields = {
        slot.attribute: of_slot(record, slot)
        for slot in slots_of(record).values()
        if slot.attribute not in more
    }
    return st.builds(record, **fields, **more)
