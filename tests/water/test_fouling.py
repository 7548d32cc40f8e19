import datetime as dt

import pytest

from waterkit.water.fouling import FoulingLimits, fouling_checks
from waterkit.water.sample import Sample

DAY = dt.date(2027, 6, 1)
IRON = Sample("A", "well", DAY, "feed", {"Fe": 0.01}, others={"turbidity": 0.4, "TOC": 5.0})


def test_what_was_measured_is_checked() -> None:
    found = {check.name: check for check in fouling_checks(IRON)}
    assert set(found) == {"iron", "turbidity", "TOC"}
    assert found["iron"].value == pytest.approx(0.558, abs=1e-3)  # 0.01 mmol/L of 55.845 g/mol
    assert not found["iron"].passed
    assert found["turbidity"].passed
    assert not found["TOC"].passed


def test_a_limit_can_be_set_anew() -> None:
    limits = FoulingLimits(iron_mg_l=1.0)
    assert fouling_checks(IRON, limits)[0].passed


def test_nothing_measured_nothing_checked() -> None:
    assert fouling_checks(Sample("A", "", DAY, "feed", {})) == ()
