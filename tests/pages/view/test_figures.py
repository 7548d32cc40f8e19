"""Numbers as a club reads them.

Conversions are the exact definitions of NIST Special Publication 811 (inch 25.4 mm, US gallon 231
cubic inches, pound 0.45359237 kg); marks and month names are those of the Unicode locale data.
"""

import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from waterkit.errors import FieldError
from waterkit.pages.view.figures import UNKNOWN, Figures
from waterkit.quantities import CONDUCTIVITY, DENSITY, DEPTH, MASS, TEMPERATURE, VOLUME

METRIC, US = Figures(), Figures("us", "en_US", "USD")
NBSP, NARROW = "\u00a0", "\u202f"


@pytest.mark.parametrize(
    ("value", "quantity", "metric", "us"),
    [
        (3785.411784, VOLUME, "3,785 L", "1,000 US gal"),
        (25.4, DEPTH, "25.4 mm", "1.00 in"),
        (45.359237, MASS, "45.4 kg", "100.0 lb"),
        (-40.0, TEMPERATURE, "-40.0 °C", "-40 °F"),
        (812.3456, CONDUCTIVITY, "812 µS/cm", "812 µS/cm"),
        (1.3249, CONDUCTIVITY, "1.32 µS/cm", "1.32 µS/cm"),
        (1.07431, DENSITY, "1.074 kg/L", "1.074 kg/L"),
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


def test_a_figure_as_given_keeps_its_digits() -> None:
    assert METRIC.given(0.0065, "mm").replace(NBSP, " ") == "0.0065 mm"
    assert METRIC.given(45.72, "m").replace(NBSP, " ") == "45.72 m"
    assert METRIC.given(1.0, "month").replace(NBSP, " ") == "1 month"


def test_an_unknown_locale_is_refused_with_the_cure() -> None:
    with pytest.raises(FieldError, match="'xx_YY' is not a known locale") as caught:
        Figures(locale="xx_YY")
    assert "en_CA" in caught.value.hint
