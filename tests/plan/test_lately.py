"""What the log tells lately."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from waterkit.club import read_club
from waterkit.club.schema import Club
from waterkit.plan.lately import FROZEN, Lately, shown_us_cm_of
from waterkit.treatment.experience import VesselChange
from waterkit.water.conductivity import dilute_at_25
from waterkit.water.meter import Meter
from waterkit.water.readings import Readings

NOON = dt.datetime(2027, 10, 5, 12, tzinfo=dt.UTC)
METER = Meter("pocket", standard_us_cm=84.0)
OTHER = Meter("old pen", "none")


def log(*rows: tuple[str, str, float, float, str, float]) -> Readings:
    """Rows of day and hour, point, what was shown, temperature, meter, treated total."""
    columns = list(zip(*rows, strict=True)) if rows else [()] * 6
    words = [np.array(columns[place], dtype=np.object_) for place in (1, 4)]
    empty = np.array([""] * len(rows), dtype=np.object_)
    return Readings(
        np.array(columns[0], dtype="datetime64[s]"), words[0], np.array(columns[2], dtype=float),
        np.array(columns[3], dtype=float), words[1], empty, np.full(len(rows), np.nan),
        np.array(columns[5], dtype=float), empty, empty, empty, empty,
    )  # fmt: skip


@pytest.fixture
def club(demo_folder: Path) -> Club:
    return replace(read_club(demo_folder), meters=(METER, OTHER), changeouts=())


NAN = float("nan")


def test_without_a_log_nothing_is_known(club: Club) -> None:
    lately = Lately(club, NOON)
    assert lately.newest_at_25_us_cm("feed") is None
    assert lately.earlier_at_25_us_cm("tank", "pocket") is None
    assert lately.frozen_us_cm("pocket") is None
    assert (lately.change, lately.treated_l) == (None, None)
    assert lately.standard(METER) == "never-checked"


def test_the_newest_reading_before_the_moment_counts(club: Club) -> None:
    readings = log(
        ("2027-10-05T14", "DI outlet", 9.0, 25.0, "pocket", NAN),
        ("2027-10-05T10", "DI outlet", 0.8, 5.0, "old pen", NAN),
        ("2027-10-04T10", "DI outlet", 0.5, 25.0, "pocket", NAN),
    )
    lately = Lately(replace(club, readings=readings), NOON)
    assert lately.newest_at_25_us_cm("DI outlet") == pytest.approx(float(dilute_at_25(0.8, 5.0)))
    before = NOON - dt.timedelta(hours=4)
    assert Lately(lately.club, before).newest_at_25_us_cm("DI outlet") == pytest.approx(0.5)
    assert lately.newest_at_25_us_cm("DI outlet", since=NOON) is None


def test_a_reading_without_temperature_or_known_meter_says_nothing(club: Club) -> None:
    readings = log(
        ("2027-10-05T10", "feed", 700.0, NAN, "pocket", NAN),
        ("2027-10-05T11", "feed", 710.0, 10.0, "a stranger's", NAN),
        ("2027-10-05T11", "feed", 720.0, 10.0, "", NAN),
    )
    assert Lately(replace(club, readings=readings), NOON).newest_at_25_us_cm("feed") is None
    single = replace(club, readings=readings, meters=(METER,))
    assert Lately(single, NOON).newest_at_25_us_cm("feed") is not None


def test_after_a_change_earlier_readings_do_not_count(club: Club) -> None:
    readings = log(("2027-10-05T10", "tank", 12.0, 25.0, "pocket", NAN))
    lately = Lately(replace(club, readings=readings), NOON)
    assert lately.earlier_at_25_us_cm("tank", "pocket") == pytest.approx(12.0)
    assert lately.earlier_at_25_us_cm("hose end", "pocket") is None
    change = VesselChange(dt.date(2027, 10, 5), "lead", "vessel 1", "vessel 3")
    changed = Lately(replace(lately.club, changeouts=(change,)), NOON)
    assert changed.earlier_at_25_us_cm("tank", "pocket") is None


def test_a_meter_that_shows_the_same_everywhere_is_frozen(club: Club) -> None:
    points = ["feed", "tank", "DI outlet", "tank"]
    rows = [(f"2027-10-05T0{hour}", point, 1.3, 9.0, "pocket", NAN)
            for hour, point in enumerate(points)]  # fmt: skip
    assert len(rows) == FROZEN
    assert Lately(replace(club, readings=log(*rows)), NOON).frozen_us_cm("pocket") == 1.3
    same = [(*row[:1], "tank", *row[2:]) for row in rows]
    assert Lately(replace(club, readings=log(*same)), NOON).frozen_us_cm("pocket") is None
    other = [*rows[:3], ("2027-10-05T04", "tank", 1.4, 9.0, "pocket", NAN)]
    assert Lately(replace(club, readings=log(*other)), NOON).frozen_us_cm("pocket") is None


@pytest.mark.parametrize(
    ("day", "shown", "told"),
    [
        ("2027-10-01", 85.0, ""),
        ("2027-08-01", 85.0, "standard-overdue"),
        ("2027-10-01", 52.6, "not-corrected"),
    ],
)
def test_the_last_check_tells(club: Club, day: str, shown: float, told: str) -> None:
    readings = log((f"{day}T10", "standard", shown, 5.0, "pocket", NAN))
    assert Lately(replace(club, readings=readings), NOON).standard(METER) == told


def test_a_standard_opened_long_ago_is_expired(club: Club) -> None:
    old = replace(METER, opened=dt.date(2027, 1, 1))
    assert Lately(club, NOON).standard(old) == "standard-expired"


def test_litres_since_the_change(club: Club) -> None:
    readings = log(
        ("2027-09-20T10", "DI outlet", 1.0, 9.0, "pocket", 4000.0),
        ("2027-10-05T10", "DI outlet", 1.0, 9.0, "pocket", 4900.0),
        ("2027-10-05T11", "tank", 1.0, 9.0, "pocket", NAN),
    )
    change = VesselChange(dt.date(2027, 9, 21), "lead", "vessel 1", "vessel 3")
    told = replace(change, treated_total_l=4100.0)
    changed = replace(club, readings=readings, changeouts=(change,))
    assert Lately(changed, NOON).treated_l == 900.0
    assert Lately(replace(changed, changeouts=(told,)), NOON).treated_l == 800.0
    assert Lately(replace(changed, changeouts=()), NOON).treated_l is None
    lag = replace(told, position="lag")
    assert Lately(replace(changed, changeouts=(lag,)), NOON).change is None


def test_ppm_become_conductivity() -> None:
    assert shown_us_cm_of(5.0, "ppm", Meter("pen", factor=0.5)) == 10.0
    assert shown_us_cm_of(5.0, "uS/cm", Meter("pen", factor=0.5)) == 5.0


def test_tank_and_hose_end_hold_the_same_water(club: Club) -> None:
    """Flush the hose until its end reads like the tank: that is no meter that is stuck."""
    rows = [(f"2027-10-05T0{hour}", point, 1.3, 9.0, "pocket", NAN)
            for hour, point in enumerate(["tank", "hose end", "tank", "hose end"])]  # fmt: skip
    assert Lately(replace(club, readings=log(*rows)), NOON).frozen_us_cm("pocket") is None


def test_without_a_change_litres_count_from_the_day_it_was_fresh(club: Club) -> None:
    readings = log(
        ("2027-09-20T10", "DI outlet", 1.0, 9.0, "pocket", 0.0),
        ("2027-10-05T10", "DI outlet", 1.0, 9.0, "pocket", 40_000.0),
    )
    vessels = tuple(replace(vessel, fresh_on=dt.date(2027, 9, 20)) for vessel in club.vessels)
    lately = Lately(replace(club, readings=readings, vessels=vessels), NOON)
    assert lately.treated_l == 40_000.0
    assert replace(lately, total_l=41_000.0).treated_l == 41_000.0


def test_of_two_changes_on_one_day_the_last_row_counts(club: Club) -> None:
    first = VesselChange(dt.date(2027, 10, 4), "lead", "vessel 1", "vessel 3")
    last = replace(first, vessel_out="vessel 3", vessel_in="vessel 4")
    assert Lately(replace(club, changeouts=(first, last)), NOON).change == last


@pytest.mark.parametrize(
    ("shown", "note", "checked", "changed", "proof"),
    [
        (0.5, "", 85.0, 1, True),
        (0.0, "", 85.0, 1, False),
        (0.5, "seen: film", 85.0, 1, False),
        (0.5, "", 60.0, 1, False),  # its check failed
        (0.5, "", 85.0, 5, False),  # a vessel was changed after it
    ],
)
def test_only_a_believed_reading_of_the_outlet_proves_anything(
    club: Club, shown: float, note: str, checked: float, changed: int, proof: bool
) -> None:
    readings = log(
        ("2027-10-01T10", "standard", checked, 25.0, "pocket", NAN),
        ("2027-10-04T10", "DI outlet", shown, 25.0, "pocket", NAN),
    )
    readings = replace(readings, note=np.array(["", note], dtype=np.object_))
    change = VesselChange(dt.date(2027, 10, changed), "lag", "vessel 2", "vessel 3")
    lately = Lately(replace(club, readings=readings, changeouts=(change,)), NOON)
    assert (lately.outlet_at_25_us_cm() is not None) == proof


def test_without_a_name_the_worst_meter_counts(club: Club) -> None:
    old = replace(METER, name="old", opened=dt.date(2026, 1, 1))
    lately = Lately(replace(club, meters=(METER, old)), NOON)
    assert (lately.state_of("pocket"), lately.state_of("")) == ("never-checked", "standard-expired")


def test_the_day_is_the_one_of_the_club(club: Club) -> None:
    late = dt.datetime(2027, 10, 5, 23, 30, tzinfo=dt.UTC)
    assert Lately(replace(club, timezone="Europe/Berlin"), late).day == dt.date(2027, 10, 6)
    assert Lately(replace(club, timezone="America/Denver"), late).day == dt.date(2027, 10, 5)


def test_a_meter_that_drifts_is_told_of(club: Club) -> None:
    readings = log(
        *((f"2027-09-{day:02d}T10", "standard", 84.0 + day / 4, 25.0, "pocket", NAN)
          for day in range(2, 29, 2)),
    )  # fmt: skip
    assert Lately(replace(club, readings=readings), NOON).standard(METER) == "meter-drifts"


def test_a_log_with_an_error_is_told_of(club: Club) -> None:
    assert not Lately(club, NOON).unread
    for part in ("readings", "changeouts"):
        assert Lately(replace(club, broken={part: ()}), NOON).unread
