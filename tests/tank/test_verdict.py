"""Verdicts: situations with the answer expected, and what holds for any reading."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tank.tank_cases import METERS, Situation, situations, table
from waterkit.tank.baked import Baked
from waterkit.tank.case import POINTS, SEEN, Known, Said
from waterkit.tank.rules import RULES
from waterkit.tank.verdict import VERDICTS, Decision, judge
from waterkit.water.limits import USES

SITUATIONS = situations()
DISBELIEF = {
    "reads-zero", "below-pure", "unit-thousandfold", "frozen", "fell-by-itself",
}  # fmt: skip
"""Reasons that a reading cannot be believed because it is too low, or because of its digits."""


@pytest.mark.parametrize("one", SITUATIONS, ids=lambda one: one.name)
def test_a_situation_gets_the_answer_expected(one: Situation) -> None:
    found = judge(one.table, one.said, one.known)
    keys = [note.key for note in found.reasons]
    assert (found.verdict, keys[0]) == (one.verdict, one.reason), keys
    assert one.also in ("", *keys)


def test_each_situation_tells_where_its_answer_comes_from() -> None:
    path = Path(__file__).parent / "situations.csv"
    rows = list(csv.DictReader(path.read_text("utf-8").splitlines()))
    assert len(rows) >= 25
    assert all(row["source"] for row in rows)
    assert {row["verdict"] for row in rows} == set(VERDICTS)


def test_most_rules_lead_somewhere_in_the_situations() -> None:
    found = [judge(one.table, one.said, one.known) for one in SITUATIONS]
    told = {note.key for each in found for note in each.reasons}
    rest = {rule.key for rule in RULES} - told
    assert rest == {
        "frozen", "change-mark", "above-expected", "log-unread", "resin-spent", "feed-odd",
        "maybe-thousandfold", "meter-drifts", "never-checked",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("known", "shown", "key"),
    [
        (Known(frozen_shown=13_000), 13_000, "frozen"),
        (Known(change_25=50_000), 60_000, "change-mark"),
        (Known(expected_25=10_000), 13_000, "above-expected"),
        (Known(rinse_l=120), 13_000, "rinsing"),
        (Known(log_unread=True), 13_000, "log-unread"),
        (Known(litres_left=0), 13_000, "resin-spent"),
        (Known(feed_odd_25=90_000), 13_000, "feed-odd"),
        (Known(feed_25=7_000_000), 7_000, "maybe-thousandfold"),
        (Known(standard="meter-drifts"), 13_000, "meter-drifts"),
        (Known(standard="never-checked"), 13_000, "never-checked"),
    ],
)
def test_what_the_log_knows_is_told(known: Known, shown: int, key: str) -> None:
    said = Said("DI outlet", "flood", "linear", shown, "uS/cm", 250)
    assert key in {note.key for note in judge(table(), said, known).reasons}


def test_a_log_that_cannot_be_read_and_a_spent_vessel_are_held() -> None:
    said = Said("DI outlet", "flood", "linear", 3_000, "uS/cm", 90)
    assert judge(table(), said, Known(litres_left=900)).verdict == "fill"
    for known in (Known(log_unread=True), Known(litres_left=0)):
        assert judge(table(), said, known).verdict == "hold"
    assert judge(table(), replace(said, point="tank"), Known(litres_left=0)).verdict == "fill"


def test_the_supply_in_millisiemens_is_told_and_held_where_air_alone_does_more() -> None:
    """0.7 on a display in mS/cm, a supply of 700 uS/cm, a last digit of 0.1."""
    known, said = Known(feed_25=7_000_000), Said("DI outlet", "flood", "linear", 7_000, "uS/cm", 90)
    at_outlet = judge(table(), said, known)
    assert (at_outlet.verdict, at_outlet.reasons[-1].key) == ("fill", "maybe-thousandfold")
    in_tank = judge(table(), replace(said, point="tank"), known)
    assert (in_tank.verdict, in_tank.reasons[0].key) == ("hold", "unit-thousandfold")


def test_nothing_speaks_for_water_that_is_refused_or_for_a_reading_that_is_not_believed() -> None:
    good = Said("tank", "flood", "linear", 13_000, "uS/cm", 90)
    told = [
        judge(table(), replace(good, seen=("smell",)), Known()),
        judge(table(), replace(good, meter=""), Known()),
        judge(table(), good, Known(frozen_shown=13_000)),
    ]
    verdicts = {rule.key: rule.verdict for rule in RULES}
    assert all(verdicts[note.key] != "fill" for found in told for note in found.reasons)


maybe = st.none() | st.integers(0, 20_000_000)
QUESTIONS = st.builds(
    Said,
    point=st.sampled_from(POINTS),
    use=st.sampled_from(USES),
    meter=st.sampled_from(["", *METERS]),
    shown=st.integers(0, 20_000_000),
    unit=st.sampled_from(["uS/cm", "ppm"]),
    tenths=st.integers(-100, 800),
    litres=st.integers(0, 5000),
    seen=st.lists(st.sampled_from(SEEN), unique=True, max_size=2).map(tuple),
)
KNOWN = st.builds(
    Known, feed_25=maybe, outlet_25=maybe, earlier_25=maybe, change_25=maybe, expected_25=maybe,
    rinse_l=st.integers(0, 500), litres_left=st.none() | st.integers(0, 9000),
    tank_l=st.none() | st.integers(0, 3000), reserve_percent=st.integers(0, 20),
    standard=st.sampled_from(["", "standard-expired", "corrected-twice", "never-checked"]),
    log_unread=st.booleans(), feed_odd_25=maybe,
)  # fmt: skip
TABLES = st.sampled_from([table(), table(420.0), table(strict=True)])


def _doubted(found: Decision) -> bool:
    return any(note.key in DISBELIEF for note in found.reasons)


@given(TABLES, QUESTIONS, KNOWN, st.integers(0, 20_000_000))
def test_a_higher_reading_never_makes_a_believable_one_better(
    baked: Baked, said: Said, known: Known, more: int
) -> None:
    lower = judge(baked, said, known)
    higher = judge(baked, replace(said, shown=said.shown + more), known)
    if _doubted(lower):
        return
    assert VERDICTS.index(higher.verdict) <= VERDICTS.index(lower.verdict)


@given(TABLES, QUESTIONS, KNOWN)
def test_every_answer_has_a_reason_and_the_worst_comes_first(
    baked: Baked, said: Said, known: Known
) -> None:
    found = judge(baked, said, known)
    verdicts = {rule.key: rule.verdict for rule in RULES}
    assert found.reasons
    assert verdicts[found.reasons[0].key] == found.verdict
    order = [VERDICTS.index(verdicts[note.key]) for note in found.reasons]
    assert order == sorted(order)


@given(TABLES, QUESTIONS, KNOWN)
def test_nothing_above_act_is_filled_but_what_air_brings(
    baked: Baked, said: Said, known: Known
) -> None:
    found = judge(baked, said, known)
    if found.actual > max(found.act, found.air):
        assert found.verdict == "do not fill"
    if found.verdict == "fill":
        assert found.actual <= found.good + found.air
