"""Pure date arithmetic: weeks, days in a row, working days."""

import datetime as dt
from collections.abc import Collection, Iterator

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
FIRST_DAY, LAST_DAY = dt.date(1900, 1, 1), dt.date(2199, 12, 31)
"""Between these lie all seasons; any other year is a slip."""
ONE_DAY = dt.timedelta(days=1)
SATURDAY = 5


def iso_week(day: dt.date) -> str:
    """The ISO 8601 week of a day, as ``2027-W41``."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def days_between(first: dt.date, last: dt.date) -> Iterator[dt.date]:
    """Every day from ``first`` to ``last``, both included; none if ``last`` is earlier."""
    for offset in range((last - first).days + 1):
        yield first + dt.timedelta(days=offset)


def is_working_day(day: dt.date, holidays: Collection[dt.date] = ()) -> bool:
    """Whether suppliers work that day: Monday to Friday and not in ``holidays``."""
    return day.weekday() < SATURDAY and day not in holidays


def working_days_before(day: dt.date, count: int, holidays: Collection[dt.date] = ()) -> dt.date:
    """The working day that lies ``count`` working days before ``day``.

    With ``count`` 0 it is ``day`` itself, or the last working day before it.
    """
    if count < 0:
        raise ValueError(f"count: {count} is negative; working days are counted backwards")
    while not is_working_day(day, holidays):
        day -= ONE_DAY
    for _ in range(count):
        day -= ONE_DAY
        while not is_working_day(day, holidays):
            day -= ONE_DAY
    return day


def month_of(day: dt.date) -> str:
    """The month of a day, as ``2027-10``."""
    return f"{day:%Y-%m}"
