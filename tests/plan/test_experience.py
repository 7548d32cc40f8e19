"""What a club's own log teaches: clubs with vessels of known capacity."""

import datetime as dt
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.club.any_record import any_of
from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.errors import Problem
from waterkit.plan.experience import Learned, learn
from waterkit.plan.feed import Feed, read_feed
from waterkit.plan.season import plan_season
from waterkit.treatment.experience import Reason, VesselChange
from waterkit.treatment.ion_exchange import Endpoint, Vessel
from waterkit.water.readings import Readings

DEMO = Path(__file__).parents[2] / "data" / "demo-club"
START = dt.date(2027, 9, 1)
AS_OF = dt.date(2028, 3, 1)
RESIN_L = 102.0
NAMES = ("A", "B", "C")


@cache
def made_club() -> Club:
    """The demo with one vessel at a time, of a supplier."""
    vessels = tuple(
        Vessel(name, "spare", RESIN_L, rated_eq_l=0.41, rated_on="total anions with CO2 and silica",
               supplier="one")
        for name in NAMES
    )  # fmt: skip
    lead = replace(vessels[0], position="single")
    demo = read_club(DEMO)
    train = tuple(replace(one, positions=("single",)) if one.kind == "di" else one
                  for one in demo.train)  # fmt: skip
    return replace(demo, vessels=(lead, *vessels[1:]), train=train)


@pytest.fixture(scope="module")
def club() -> Club:
    return made_club()


@cache
def made_feed() -> Feed:
    return read_feed(made_club(), AS_OF)


def day(number: int) -> dt.date:
    return START + dt.timedelta(days=number)


def change(
    number: int, out: str, in_: str, total_l: float | None, reason: Reason = "at limit", **more: Any
) -> VesselChange:
    position = more.pop("position", "single")
    return VesselChange(day(number), position, out, in_, reason, treated_total_l=total_l, **more)


def logged(*rows: tuple[dt.date, float]) -> Readings:
    """Readings of the water meter at noon."""
    time = [np.datetime64(dt.datetime.combine(date, dt.time(12)), "s") for date, _ in rows]
    words, empty = np.full(len(rows), "", dtype=object), np.full(len(rows), np.nan)
    total = np.array([litres for _, litres in rows])
    return Readings(
        np.array(time), np.full(len(rows), "DI outlet", dtype=object), np.full(len(rows), 0.3),
        empty, words, words, empty, total, words, words, words, words,
    )  # fmt: skip


def learned(club: Club, *changes: VesselChange, as_of: dt.date = AS_OF, **parts: Any) -> Learned:
    club = replace(club, changeouts=changes, **parts)
    return learn(club, as_of, read_feed(club, as_of), club.train, club.vessels)


def keys(found: Learned) -> list[str]:
    return [note.key for note in found.notes]


def meq_l(club: Club) -> float:
    """The load of the feed on the side that the rating counts."""
    return float(plan_season(club, AS_OF).load.anion_meq_l)


# Litres times load is capacity.


def test_the_capacity_of_the_vessels_is_found(club: Club) -> None:
    litres = 1000 * 0.5 * RESIN_L / meq_l(club)  # vessels of 0.5 eq/L, rated 0.41
    rows = [change(10 * n, NAMES[n % 3], NAMES[(n + 1) % 3], n * litres) for n in range(9)]
    found = learned(club, *rows)
    known = found.of(club.vessels[0])
    assert known is not None
    assert (known.exact, known.bounds) == (8, 0)
    assert known.low_eq_l < 0.5 < known.high_eq_l * 1.01
    assert known.median_eq_l == pytest.approx(0.5, rel=0.03)
    fresh = found.fresh(club.vessels[0], plan_season(club, AS_OF).load)
    assert fresh is not None
    assert fresh.low_l < litres < fresh.high_l
    assert keys(found) == ["run-without-start"]


def test_a_list_of_vessels_that_is_behind_is_told(club: Club) -> None:
    assert "position-told-twice" in keys(learned(club, change(0, "A", "B", 0.0)))


def test_each_litre_counts_with_the_feed_in_force_then(club: Club) -> None:
    """Half of the litres of a water of half the strength fill three quarters."""
    (old,) = (sample for sample in club.samples if sample.point == "feed")
    halved = {key: amount / 2 for key, amount in old.mmol_l.items()}
    new = replace(old, sample="new", date=day(10), mmol_l=halved,
                  alkalinity_meq_l=(old.alkalinity_meq_l or 0) / 2, hardness_mg_l_caco3=None,
                  conductivity_us_cm=None)  # fmt: skip
    read = logged((day(9), 2000.0), (day(10), 2000.0), (day(20), 4000.0))
    alone, with_new = (
        learned(
            replace(club, samples=samples), change(0, "A", "B", 0.0), readings=read, as_of=day(20)
        ).standing["single"]
        for samples in ((old,), (old, new))
    )
    assert alone.litres_l == with_new.litres_l == 4000.0
    assert alone.charge_eq == pytest.approx(4.0 * meq_l(replace(club, samples=(old,))))
    assert with_new.charge_eq / alone.charge_eq == pytest.approx(0.75, rel=0.02)


# What is a bound, and what is nothing.


@pytest.mark.parametrize(
    ("reason", "last", "exact", "bounds"),
    [
        ("at limit", None, 1, 0),
        ("by litres", None, 0, 1),
        ("by calendar", 0.2, 0, 1),
        ("before an event", None, 0, 1),
        ("end of season", 40.0, 0, 1),
        ("damaged", None, 0, 0),
    ],
)
def test_the_reason_tells_what_a_run_is_worth(
    club: Club, reason: Reason, last: float | None, exact: int, bounds: int
) -> None:
    row = change(20, "B", "A", 5000.0, reason, last_reading_us_cm=last)
    found = learned(club, change(0, "A", "B", 0.0), row)
    known = found.of(club.vessels[0])
    assert (known.exact, known.bounds) == (exact, bounds) if known else exact + bounds == 0


def test_a_reading_above_the_limit_makes_it_an_upper_bound(club: Club) -> None:
    start = change(0, "A", "B", 0.0)
    marks = replace(club, changeout=replace(club.changeout, at=(Endpoint("conductivity", 5.0),)))
    good, past = (
        learned(
            marks, start, change(20, "B", "A", 6000.0, "end of season", last_reading_us_cm=last)
        )
        for last in (1.0, 40.0)
    )
    low, high = (found.of(club.vessels[0]) for found in (past, good))
    assert low is not None
    assert high is not None
    assert low.median_eq_l < high.median_eq_l


def test_a_vessel_in_service_is_a_lower_bound(club: Club) -> None:
    found = learned(club, change(0, "A", "B", 1000.0), readings=logged((day(30), 8000.0)))
    assert found.standing["single"].litres_l == 7000.0
    known = found.of(club.vessels[0])
    assert known is not None
    assert (known.exact, known.bounds) == (0, 1)
    load = plan_season(club, AS_OF).load
    left, fresh = found.left(club.vessels[0], load), found.fresh(club.vessels[0], load)
    assert left is not None
    assert fresh is not None
    assert 0 < left.low_l < left.median_l < fresh.median_l - 3500


def test_without_changes_the_list_of_vessels_tells_what_stands(club: Club) -> None:
    fresh = replace(club.vessels[0], fresh_on=day(2))
    by_meter = replace(club, vessels=(fresh, *club.vessels[1:]))
    found = learned(by_meter, readings=logged((day(2), 100.0), (day(9), 900.0)))
    assert found.standing["single"].litres_l == 800.0
    told = replace(club.vessels[0], litres_already_through_l=750.0)
    found = learned(replace(club, vessels=(told, *club.vessels[1:])))
    assert found.standing["single"].litres_l == 750.0
    assert learned(club) == Learned({}, found.sides, {}, ())


def test_a_life_that_no_meter_followed_is_believed_as_written(club: Club) -> None:
    told = replace(club.vessels[0], litres_already_through_l=750.0, fresh_on=day(2))
    found = learned(replace(club, vessels=(told, *club.vessels[1:])))
    assert found.standing["single"].began_l is None


NAMED = st.sampled_from(["A", "B", "C", "gone"])


@settings(max_examples=30, deadline=None)  # the first one reads the club
@given(st.lists(any_of(VesselChange, vessel_out=NAMED, vessel_in=NAMED), max_size=8))
def test_whatever_changes_are_written_each_is_learned_from_or_told(
    changes: list[VesselChange],
) -> None:
    club = replace(made_club(), changeouts=tuple(changes))
    found = learn(club, dt.date(2061, 1, 1), made_feed(), club.train, club.vessels)
    runs = sum(known.runs for known in found.kinds.values())
    assert runs <= len(changes) + 2
    for known in found.kinds.values():
        assert 0 < known.low_eq_l <= known.median_eq_l <= known.high_eq_l


# Lead and lag.


@pytest.mark.parametrize("lead_first", [True, False])
def test_a_vessel_that_moves_from_lag_to_lead_counts_from_there(
    club: Club, lead_first: bool
) -> None:
    rows = [change(0, "X", "A", 0.0, position="lead"), change(0, "Y", "B", 0.0, position="lag")]
    pair = [
        change(10, "A", "B", 3000.0, position="lead"),
        change(10, "B", "C", 3000.0, position="lag", reason="by calendar"),
    ]
    rows += pair if lead_first else pair[::-1]
    rows.append(change(20, "B", "C", 7000.0, position="lead"))
    found = learned(club, *rows, readings=logged((day(25), 7500.0)))
    known = found.of(club.vessels[0])
    assert known is not None
    assert (known.exact, known.bounds) == (2, 0)  # A 3000 L, B 4000 L; nobody read behind C
    assert found.standing["lead"].litres_l == 500.0
    assert found.standing["lead"].vessel == "C"


def test_a_vessel_that_comes_back_filled_under_its_name_is_a_new_run(club: Club) -> None:
    rows = [change(10 * n, "A", "A", 4000.0 * n) for n in range(4)]
    known = learned(club, *rows).of(club.vessels[0])
    assert known is not None
    assert known.exact == 3


def test_a_vessel_put_back_as_it_was_counts_as_giving_that_much_at_least(club: Club) -> None:
    rows = [
        change(0, "A", "B", 0.0),
        change(5, "B", "C", 2000.0, "before an event"),
        change(9, "C", "B", 3000.0, "by litres"),
        change(20, "B", "A", 6000.0, "at limit"),
    ]
    found = learned(club, *rows)
    known = found.of(club.vessels[0])
    assert known is not None
    assert (known.exact, known.bounds) == (0, 3)
    assert "run-maybe-not-fresh" in keys(found)


# What is not known is not made up.


def test_a_missing_total_is_looked_up_in_the_readings_of_that_day_or_left_out(club: Club) -> None:
    rows = (change(0, "A", "B", 0.0), change(20, "B", "A", None))
    assert "run-without-total" in keys(learned(club, *rows))
    found = learned(club, *rows, readings=logged((day(19), 4900.0), (day(20), 5000.0)))
    known = found.of(club.vessels[0])
    assert known is not None
    assert known.exact == 1


def test_a_total_that_falls_is_told_and_left_out(club: Club) -> None:
    found = learned(club, change(0, "A", "B", 5000.0), change(20, "B", "A", 100.0))
    assert "run-total-falls" in keys(found)
    assert found.kinds == {}


def test_vessels_that_are_not_listed_any_more(club: Club) -> None:
    rows = (change(0, "A", "gone", 0.0), change(20, "gone", "A", 5000.0))
    alike = learned(club, *rows)
    assert "vessel-taken-as-like-others" in keys(alike)
    assert len(alike.kinds) == 1
    small = replace(club.vessels[1], resin_l=51.0)
    mixed = learned(replace(club, vessels=(club.vessels[0], small)), *rows)
    assert "run-of-unknown-vessel" in keys(mixed)
    assert mixed.kinds == {}


def test_what_comes_after_the_day_is_not_known(club: Club) -> None:
    rows = (change(0, "A", "B", 0.0), change(20, "B", "A", 5000.0), change(30, "A", "B", 9000.0))
    before = learned(club, *rows[:2], as_of=day(25))
    assert learned(club, *rows, as_of=day(25)).kinds.keys() == before.kinds.keys()
    known, same = (one.of(club.vessels[0]) for one in (learned(club, *rows, as_of=day(25)), before))
    assert known is not None
    assert same is not None
    assert known.median_eq_l == same.median_eq_l
    readings = logged((day(24), 5500.0), (day(26), 8000.0))
    found = learned(club, *rows, as_of=day(25), readings=readings)
    assert found.standing["single"].litres_l == 500.0


def test_a_file_with_an_error_is_not_learned_from(club: Club) -> None:
    rows = (change(0, "A", "B", 0.0), change(20, "B", "A", 5000.0))
    fault = (Problem("changeouts.csv", "something", line=2),)
    found = learned(club, *rows, broken={"changeouts": fault})
    assert keys(found) == ["file-not-learned-from"]
    assert found.kinds == {}
    assert learned(club, *rows, broken={"readings": fault}).kinds != {}


def test_suppliers_are_learned_of_apart(club: Club) -> None:
    other = tuple(replace(vessel, supplier="two") for vessel in club.vessels[2:])
    two = replace(club, vessels=(*club.vessels[:2], *other))
    rows = (change(0, "A", "B", 0.0), change(20, "B", "C", 5000.0), change(50, "C", "B", 9000.0))
    found = learned(two, *rows)
    first, second = (found.of(vessel) for vessel in (two.vessels[1], two.vessels[2]))
    assert first is not None
    assert second is not None
    assert first.median_eq_l > second.median_eq_l
