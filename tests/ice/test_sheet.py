"""The floor and its sheets."""

import pytest

from waterkit.errors import FieldError
from waterkit.ice.sheet import Rink, check_rink, floor_area_m2, sheet_area_m2, sheets_area_m2


def test_sheets_are_length_times_width() -> None:
    rink = Rink(3, 45.72, 4.75)
    assert sheet_area_m2(rink) == pytest.approx(217.17)
    assert sheets_area_m2(rink) == pytest.approx(3 * 217.17)


def test_the_floor_is_as_measured_else_the_sheets() -> None:
    assert floor_area_m2(Rink(4, floor_m2=920.0)) == 920.0
    assert floor_area_m2(Rink(4)) == sheets_area_m2(Rink(4))


@pytest.mark.parametrize(
    ("rink", "field"),
    [
        (Rink(0), "sheets"),
        (Rink(2, sheet_length_m=0.0), "sheet_length"),
        (Rink(2, sheet_width_m=-1.0), "sheet_width"),
        (Rink(4, floor_m2=400.0), "floor"),
    ],
)
def test_a_rink_that_cannot_be_is_refused(rink: Rink, field: str) -> None:
    with pytest.raises(FieldError) as caught:
        check_rink(rink)
    assert caught.value.field == field
    assert caught.value.hint


def test_a_measured_rink_passes() -> None:
    check_rink(Rink(4, floor_m2=920.0))
    check_rink(Rink(1))
