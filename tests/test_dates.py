import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.dates import (
    WEEKDAYS,
    days_between,
    is_working_day,
    iso_week,
    month_of,
    working_days_before,
)

DATES = st.dates(dt.date(1990, 1, 1), dt.date(2080, 12, 31))


@pytest.mark.parametrize(
    ("day", "week"),
    [
        # The rule of ISO 8601: week 1 is the one with the year's first Thursday. Years that begin
        # on a Saturday and a Friday, and one that ends on a Monday (from memory of the standard).
        ("2005-01-01", "2004-W53"),
        ("2010-01-03", "2009-W53"),
        ("2008-12-29", "2009-W01"),
        ("2027-10-11", "2027-W41"),
    ],
)
def test_iso_week(day: str, week: str) -> None:
    assert iso_week(dt.date.fromisoformat(day)) == week


@given(DATES)
def test_the_week_is_that_of_its_thursday(day: dt.date) -> None:
    thursday = day + dt.timedelta(days=3 - day.weekday())
    number = (thursday.timetuple().tm_yday - 1) // 7 + 1
    assert iso_week(day) == f"{thursday.year}-W{number:02d}"


def test_days_between_counts_both_ends() -> None:
    days = list(days_between(dt.date(2028, 2, 27), dt.date(2028, 3, 1)))
    assert [f"{day:%m-%d}" for day in days] == ["02-27", "02-28", "02-29", "03-01"]


def test_days_between_is_empty_when_the_end_comes_first() -> None:
    assert not list(days_between(dt.date(2027, 10, 2), dt.date(2027, 10, 1)))


@given(
    DATES,
    st.integers(0, 60),
    st.lists(st.integers(-90, 0), max_size=10),
)
def test_working_days_agree_with_numpy(day: dt.date, count: int, free: list[int]) -> None:
    holidays = [day + dt.timedelta(days=offset) for offset in free]
    numpy_day = np.busday_offset(day, -count, roll="backward", holidays=holidays)
    assert working_days_before(day, count, holidays) == numpy_day.astype(dt.date)


@given(DATES)
def test_a_working_day_agrees_with_numpy(day: dt.date) -> None:
    assert is_working_day(day) == bool(np.is_busday(day))


def test_a_holiday_is_no_working_day() -> None:
    wednesday = dt.date(2027, 12, 22)
    assert is_working_day(wednesday)
    assert not is_working_day(wednesday, {wednesday})


def test_working_days_are_not_counted_forward() -> None:
    with pytest.raises(ValueError, match="count"):
        working_days_before(dt.date(2027, 10, 1), -1)


def test_month_and_weekday_names() -> None:
    day = dt.date(2027, 10, 4)
    assert month_of(day) == "2027-10"
    assert WEEKDAYS[day.weekday()] == "monday"
