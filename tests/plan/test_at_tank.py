"""One reading beside what folder and log know."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from tests.plan.test_lately import log
from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.errors import FieldError
from waterkit.plan import plan_season
from waterkit.plan.at_tank import Asked, AtTank, at_tank, feed_of, meter_of, table_of, uses_of_tank
from waterkit.tank.verdict import judge
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import run_by_rating
from waterkit.treatment.processes import Tank
from waterkit.water.carbonate import open_to_air
from waterkit.water.composition import conductivity_25
from waterkit.water.conductivity import dilute_at_temperature
from waterkit.water.meter import Meter

NOON = dt.datetime(2027, 8, 15, 12, tzinfo=dt.UTC)
ASKED = Asked(1.3, "uS/cm", 6.0, "tank", "flood", 480.0)


@pytest.fixture
def club(demo_folder: Path) -> Club:
    return read_club(demo_folder)


def test_command_and_pure_function_agree(club: Club) -> None:
    found = at_tank(club, NOON, ASKED)
    assert found.decision == judge(table_of(club), found.said, found.known)
    assert found.decision.verdict == "fill"


def test_the_figures_are_those_of_the_model(club: Club) -> None:
    found = at_tank(club, NOON, ASKED)
    assert found.actual_us_cm == pytest.approx(1.3 * 0.62)  # 2 %/degC, 19 degrees below 25
    assert found.limit_us_cm(10.0) == pytest.approx(float(dilute_at_temperature(10.0, 6.0)))
    assert found.air_us_cm == pytest.approx(float(open_to_air(6.0, 1000.0).conductivity_us_cm))
    assert found.shown_us_cm(found.limit_us_cm(10.0)) == pytest.approx(
        found.decision.good_shown / 10_000, rel=1e-3
    )


def test_litres_left_are_those_of_the_rating(club: Club) -> None:
    found, plan = at_tank(club, NOON, ASKED), plan_season(club, NOON.date())
    assert plan.vessel is not None
    run = run_by_rating(plan.vessel, plan.load, club.changeout)
    assert found.litres_left == pytest.approx(run.litres_to_change)
    # 3 L, three sheets, 85 % of them, 15 % waste
    assert found.draws_left == int((found.litres_left or 0) / (3 * 3 * 0.85 * 1.15))
    worn = replace(plan.vessel, litres_already_through_l=1000.0)
    rest = at_tank(replace(club, vessels=(worn,)), NOON, ASKED).litres_left
    assert rest == pytest.approx((run.litres_to_change or 0) - 1000.0)


def test_the_feed_is_the_sample_in_force(club: Club) -> None:
    feed = feed_of(club, NOON.date())
    assert feed is not None
    planned = plan_season(club, NOON.date()).feed.completed.water
    assert float(conductivity_25(feed)) == pytest.approx(float(conductivity_25(planned)))
    assert at_tank(club, NOON, ASKED).feed_25_us_cm == pytest.approx(float(conductivity_25(feed)))


def test_the_supply_in_the_tank_is_found_out(club: Club) -> None:
    found = at_tank(club, NOON, replace(ASKED, reading=720.0))
    assert found.decision.verdict == "do not fill"
    assert found.decision.reasons[0].key == "like-feed"


def test_what_goes_into_the_tank_is_judged_for_the_strictest_use(club: Club) -> None:
    assert "pebble" in uses_of_tank(club)
    into = at_tank(club, NOON, replace(ASKED, point="DI outlet", reading=7.0))
    assert (into.decision.use, into.decision.verdict) == ("pebble", "hold")


def test_without_a_meter_it_is_held(club: Club) -> None:
    found = at_tank(replace(club, meters=()), NOON, ASKED)
    assert (found.decision.verdict, found.actual_us_cm) == ("hold", None)
    assert found.decision.reasons[0].key == "compensation-unknown"


def test_which_meter(club: Club) -> None:
    pen = Meter("pen", factor=0.5)
    two = replace(club, meters=(*club.meters, pen))
    assert meter_of(two, "pen") == pen
    assert meter_of(two, None) is None
    assert meter_of(replace(club, meters=(Meter("a"), Meter("b"))), None) == Meter("a")
    with pytest.raises(FieldError, match="no meter 'else'"):
        meter_of(two, "else")


def test_a_part_with_an_error_only_costs_what_needs_it(club: Club) -> None:
    broken = replace(club, broken={"samples": (), "vessels": (), "pebble": ()})
    found = at_tank(broken, NOON, ASKED)
    assert (found.litres_left, found.draws_left, found.feed_25_us_cm) == (None, None, None)
    assert found.decision.verdict == "fill"


def test_a_closed_tank_takes_up_no_air(club: Club) -> None:
    train = tuple(replace(p, open_=False) if isinstance(p, Tank) else p for p in club.train)
    found: AtTank = at_tank(replace(club, train=train), NOON, ASKED)
    assert "air-alone" not in {note.key for note in found.decision.reasons}


def test_more_than_expected_is_told(club: Club) -> None:
    found = at_tank(club, NOON, replace(ASKED, point="DI outlet"), expected_25_us_cm=0.5)
    assert "above-expected" in {note.key for note in found.decision.reasons}


def test_a_log_with_an_error_makes_nothing_softer(club: Club) -> None:
    for part in ("readings", "changeouts"):
        found = at_tank(replace(club, broken={part: ()}), NOON, ASKED)
        assert (found.decision.verdict, found.decision.reasons[0].key) == ("hold", "log-unread")
        assert found.litres_left is None


def test_a_fresh_vessel_is_rinsed_in_lead_or_lag_with_totals_or_without(club: Club) -> None:
    change = VesselChange(NOON.date(), "lag", "vessel 2", "vessel 3")
    rinse_l = 5 * 40
    for position in ("lead", "lag"):
        one = replace(change, position=position)
        found = at_tank(replace(club, changeouts=(one,)), NOON, replace(ASKED, point="DI outlet"))
        assert found.known.rinse_l > 0
        assert found.decision.reasons[0].key == "rinsing"
    told = replace(club, changeouts=(replace(change, treated_total_l=1000.0),))
    done = at_tank(told, NOON, replace(ASKED, point="DI outlet", total_l=1000.0 + 100 * rinse_l))
    assert done.known.rinse_l == 0
    old = replace(club, changeouts=(replace(change, date=dt.date(2027, 8, 1)),))
    assert at_tank(old, NOON, ASKED).known.rinse_l == 0


def test_a_newer_sample_of_the_supply_beats_an_older_reading(club: Club) -> None:
    (sample,) = (one for one in club.samples if one.point == "feed")
    sampled = at_tank(club, NOON, ASKED).feed_25_us_cm

    def feed(day: dt.date, shown: float) -> AtTank:
        rows = log((f"{day}T10", "feed", shown, 25.0, "pocket meter", float("nan")))
        return at_tank(replace(club, readings=rows), NOON, ASKED)

    assert feed(sample.date - dt.timedelta(days=1), 500.0).feed_25_us_cm == sampled
    assert feed(NOON.date() - dt.timedelta(days=1), 500.0).feed_25_us_cm == pytest.approx(500.0)
    odd = feed(NOON.date() - dt.timedelta(days=1), 5.0)
    assert odd.feed_25_us_cm == sampled
    assert "feed-odd" in {note.key for note in odd.decision.reasons}
