"""Numbers as a club reads them.

Conversions are the exact definitions of NIST Special Publication 811 (inch 25.4 mm, US gallon 231
cubic inches, pound 0.45359237 kg); marks and month names are those of the Unicode locale data.
"""

import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from babel.numbers import parse_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.pages.view.figures import UNKNOWN, Figures
from waterkit.quantities import (
    AREA,
    CONDUCTIVITY,
    DENSITY,
    DEPTH,
    FLOW,
    LENGTH,
    MASS,
    PAINT_RATIO,
    TEMPERATURE,
    VOLUME,
    Quantity,
)

METRIC, US = Figures(), Figures("us", "en_US", "USD")
NBSP, NARROW = "\u00a0", "\u202f"


@pytest.mark.parametrize(
    ("value", "quantity", "metric", "us"),
    [
        (3785.411784, VOLUME, "3,785 L", "1,000 US gal"),
        (25.4, DEPTH, "25.4 mm", "1.00 in"),
        (45.359237, MASS, "45.4 kg", "100.0 lb"),
        (-40.0, TEMPERATURE, "−40.0 °C", "−40 °F"),
        (812.3456, CONDUCTIVITY, "812 µS/cm", "812 µS/cm"),
        (1.3249, CONDUCTIVITY, "1.32 µS/cm", "1.32 µS/cm"),
        (1.07431, DENSITY, "1.074 kg/L", "8.97 lb/US gal"),
    ],
)
def test_text_in_both_displays(value: float, quantity: object, metric: str, us: str) -> None:
    assert METRIC.text(value, quantity).replace(NBSP, " ") == metric  # type: ignore[arg-type]
    assert US.text(value, quantity).replace(NBSP, " ") == us  # type: ignore[arg-type]


def test_no_line_break_parts_number_and_unit() -> None:
    assert " " not in US.text(3785.4, VOLUME)
    assert " " not in METRIC.given(5.0, "working days")


@pytest.mark.parametrize("value", [None, float("nan"), float("inf")])
def test_what_is_not_known_has_neither_digits_nor_unit(value: float | None) -> None:
    assert METRIC.text(value, VOLUME) == UNKNOWN
    assert METRIC.about(value, VOLUME) == UNKNOWN
    assert METRIC.fine(value, VOLUME) == UNKNOWN
    assert METRIC.plain(value) == UNKNOWN


def test_no_money_and_no_day_are_not_known() -> None:
    assert (METRIC.money(None), METRIC.day(None), METRIC.date(None)) == (UNKNOWN,) * 3
    assert (METRIC.moment(None), METRIC.cents(None), METRIC.given(None, "L")) == (UNKNOWN,) * 3


def test_nothing_is_shown_as_minus_nothing() -> None:
    assert METRIC.number(-0.01, VOLUME) == "0"


def test_planned_values_have_three_digits() -> None:
    assert METRIC.about(31_427.0, VOLUME).replace(NBSP, " ") == "31,400 L"
    assert METRIC.about(28.43, DEPTH).replace(NBSP, " ") == "28.4 mm"


def test_small_values_have_one_decimal_more() -> None:
    assert METRIC.fine(0.0164, DEPTH) == "0.02"
    assert METRIC.fine(12.04, DEPTH) == "12.0"
    assert METRIC.fine(0.0550, CONDUCTIVITY) == "0.055"


def test_marks_follow_the_locale() -> None:
    assert Figures(locale="de_DE").number(1234.5, DEPTH) == "1.234,5"
    assert Figures(locale="de_CH").number(12345.0, VOLUME) == "12’345"
    assert Figures(locale="fr_FR").number(12345.0, VOLUME) == f"12{NARROW}345"
    assert Figures(locale="de-DE").money(Decimal("1234.50")) == f"1.234,50{NBSP}€"


def test_dates_follow_the_locale() -> None:
    day = dt.date(2027, 10, 2)
    assert Figures(locale="en_GB").day(day).replace(NBSP, " ") == "2 Oct 2027"
    assert Figures(locale="de_DE").day(day) == "02.10.2027"
    assert Figures(locale="en_GB").date(day) == "Sat, 2 Oct 2027"
    assert Figures(locale="en_GB").week("2027-W41").replace(NBSP, " ") == "11 Oct 2027"
    assert Figures(locale="en_GB").month("2027-10") == "October 2027"


def test_a_moment_is_told_in_its_own_zone() -> None:
    moment = dt.datetime(2027, 9, 14, 8, 0, tzinfo=ZoneInfo("America/Toronto"))
    assert Figures(locale="en_GB").moment(moment).replace(NBSP, " ") == "Tue 14 Sept, 08:00"


@pytest.mark.parametrize(
    ("minute", "told"), [(52, "8:45 AM"), (53, "9:00 AM"), (7, "8:00 AM"), (8, "8:15 AM")]
)
def test_a_moment_is_told_to_the_quarter_of_an_hour(minute: int, told: str) -> None:
    moment = dt.datetime(2027, 9, 14, 8, minute, tzinfo=ZoneInfo("America/Toronto"))
    assert Figures().moment(moment).replace(NARROW, " ").replace(NBSP, " ").endswith(told)


def test_days_and_moments_tell_another_year_than_todays() -> None:
    moment = dt.datetime(2027, 9, 14, 8, 0, tzinfo=ZoneInfo("America/Toronto"))
    this_year = Figures("metric", "en_GB", today=dt.date(2027, 8, 15))
    next_year = Figures("metric", "en_GB", today=dt.date(2028, 2, 6))
    assert this_year.moment(moment).replace(NBSP, " ") == "Tue 14 Sept, 08:00"
    assert next_year.moment(moment).replace(NBSP, " ") == "Tue, 14 Sept 2027, 08:00"
    assert this_year.brief(moment.date()).replace(NBSP, " ") == "14 Sept"
    assert next_year.brief(moment.date()).replace(NBSP, " ") == "14 Sept 2027"


def test_a_worked_out_figure_has_no_more_digits_than_mean_something() -> None:
    assert METRIC.reckoned(595.63, "L").replace(NBSP, " ") == "596 L"
    assert METRIC.reckoned(42.99, "h").replace(NBSP, " ") == "43 h"
    assert METRIC.reckoned(0.18372, "%").replace(NBSP, " ") == "0.184 %"
    assert US.reckoned(10.0, "L").replace(NBSP, " ") == "2.64 US gal"
    assert METRIC.reckoned(30.7, "test").replace(NBSP, " ") == "30.7 test"


def test_a_figure_given_in_metric_units_has_three_digits_in_us_ones() -> None:
    assert US.given(25.0, "mm").replace(NBSP, " ") == "0.984 in"
    assert US.given(10.0, "L").replace(NBSP, " ") == "2.64 US gal"


def test_a_figure_as_given_keeps_its_digits() -> None:
    assert METRIC.given(0.0065, "mm").replace(NBSP, " ") == "0.0065 mm"
    assert METRIC.given(45.72, "m").replace(NBSP, " ") == "45.72 m"
    assert METRIC.given(1.0, "month").replace(NBSP, " ") == "1 month"


def test_an_unknown_locale_is_refused_with_the_cure() -> None:
    with pytest.raises(FieldError, match="'xx_YY' is not a known locale") as caught:
        Figures(locale="xx_YY")
    assert "en_CA" in caught.value.hint


# Both displays tell the same: what the US display prints, turned back by the exact definitions of
# NIST SP 811, lies within half a last digit of each from what the metric display prints.

METRIC_OF_ONE_US: dict[str, tuple[Quantity, float, float]] = {
    "gallon": (VOLUME, 3.785411784, 0.0),
    "inch": (DEPTH, 25.4, 0.0),
    "foot": (LENGTH, 0.3048, 0.0),
    "square foot": (AREA, 0.09290304, 0.0),
    "pound": (MASS, 0.45359237, 0.0),
    "gallon an hour": (FLOW, 3.785411784, 0.0),
    "density": (DENSITY, 0.45359237 / 3.785411784, 0.0),
    "pound a gallon": (PAINT_RATIO, 0.45359237 / 3.785411784, 0.0),
    "degree": (TEMPERATURE, 5.0 / 9.0, 32.0),
    "microsiemens": (CONDUCTIVITY, 1.0, 0.0),
}


def _read(printed: str, locale: str) -> tuple[float, float]:
    """A number as printed and half of its last digit."""
    number = parse_decimal(printed.split(NBSP, maxsplit=1)[0].replace("−", "-"), locale=locale)
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)
    return float(number), 0.5 * 10.0**exponent


WAYS = {"text": Figures.text, "number": Figures.number, "fine": Figures.fine}


@pytest.mark.parametrize("locale", ["en_US", "de_DE", "de_CH"])
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("unit", METRIC_OF_ONE_US)
@settings(max_examples=40)
@given(share=st.floats(0, 1))
def test_both_displays_tell_the_same_within_their_last_digit(
    unit: str, way: str, locale: str, share: float
) -> None:
    quantity, factor, zero = METRIC_OF_ONE_US[unit]
    value = quantity.low + share * (quantity.high - quantity.low)
    told = [WAYS[way](Figures(display, locale), value, quantity) for display in ("metric", "us")]
    (metric, metric_half), (us, us_half) = (_read(text, locale) for text in told)
    least = metric_half + us_half * factor + 1e-9 * abs(value)
    assert abs((us - zero) * factor - metric) <= least
