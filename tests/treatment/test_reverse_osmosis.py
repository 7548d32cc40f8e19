"""Reverse osmosis: what its record refuses."""

import pytest

from waterkit.errors import FieldError
from waterkit.treatment.reverse_osmosis import (
    COMMON_REJECTION_PERCENT,
    ReverseOsmosis,
    check_reverse_osmosis,
)


@pytest.mark.parametrize(
    ("unit", "field"),
    [
        (
            ReverseOsmosis("reverse osmosis", concentrate_flow_l_h=9, recovery_percent=50),
            "recovery",
        ),
        (ReverseOsmosis("reverse osmosis", output_l_h=0.0), "output"),
    ],
)
def test_figures_that_contradict_each_other(unit: ReverseOsmosis, field: str) -> None:
    with pytest.raises(FieldError) as caught:
        check_reverse_osmosis(unit)
    assert caught.value.field == field
    assert caught.value.hint


def test_one_of_both_is_enough() -> None:
    check_reverse_osmosis(ReverseOsmosis("reverse osmosis"))
    check_reverse_osmosis(ReverseOsmosis("reverse osmosis", concentrate_flow_l_h=150.0))


# What the trade gives as the range of thin-film membranes (averages of the industry).
RANGES = {
    "Ca": (96, 98), "Mg": (96, 98), "Na": (92, 98), "K": (92, 92), "NH4": (85, 95),
    "Cl": (94, 95), "HCO3": (95, 96), "SO4": (99, 100), "NO3": (93, 96), "F": (94, 96),
    "Fe": (98, 99), "SiO2": (85, 90),
}  # fmt: skip


def test_common_rejection_lies_in_the_range_of_the_trade() -> None:
    assert COMMON_REJECTION_PERCENT.keys() == RANGES.keys()
    for key, (low, high) in RANGES.items():
        assert low <= COMMON_REJECTION_PERCENT[key] <= high, key
