"""What a meter's standard and its last check tell."""

import datetime as dt

import pytest

from waterkit.tank.beliefs import check_tells, checked_until, standard_until
from waterkit.water.meter import Meter

LINEAR = Meter("linear", standard_us_cm=84.0, opened=dt.date(2027, 6, 20))


def test_a_standard_holds_half_a_year_once_opened() -> None:
    assert standard_until(LINEAR) == dt.date(2027, 12, 19)
    assert standard_until(Meter("new")) is None
    assert checked_until(dt.date(2027, 10, 1)) == dt.date(2027, 11, 1)


@pytest.mark.parametrize(
    ("shown", "celsius", "told"),
    [
        (84.0, 25.0, ""),
        (84.0, None, ""),
        (90.0, 25.0, ""),
        (96.0, 25.0, "standard-off"),
        # KCl at 5 degC conducts 1 / 1.598 of what it does at 25 (McCleskey 2011): 52.6 uS/cm,
        # which a 2 %/degC meter shows as 87.6, and by hand once more as 146
        (87.6, 5.0, ""),
        (52.6, 5.0, "not-corrected"),
        (146.0, 5.0, "corrected-twice"),
        (110.0, 5.0, "standard-off"),
    ],
)
def test_a_check_tells_how_the_meter_corrects(
    shown: float, celsius: float | None, told: str
) -> None:
    assert check_tells(shown, celsius, LINEAR) == told


def test_a_meter_that_corrects_though_nobody_says_so_is_off() -> None:
    plain = Meter("plain", "none", standard_us_cm=84.0)
    assert check_tells(52.6, 5.0, plain) == ""
    assert check_tells(84.0, 5.0, plain) == "standard-off"


def test_without_a_standard_a_check_tells_nothing() -> None:
    assert check_tells(12.0, 5.0, Meter("no standard")) == ""
    assert check_tells(12.0, 80.0, Meter("n", "natural water", standard_us_cm=84.0)) == ""
