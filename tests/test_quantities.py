from dataclasses import dataclass
from typing import Annotated

import pytest

from waterkit import units
from waterkit.quantities import (
    CAPACITY,
    REGISTER,
    TEMPERATURE,
    VOLUME,
    Quantity,
    find_quantity,
    quantity_of,
    written_name,
)

NAMES = [quantity.name for quantity in REGISTER]


@dataclass(frozen=True, slots=True)
class Barrel:
    volume_l: Annotated[float, VOLUME]
    set_point_c: Annotated[float, TEMPERATURE] | None = None
    open_: bool = True


def test_each_name_stands_once() -> None:
    assert len(set(NAMES)) == len(NAMES)


@pytest.mark.parametrize("quantity", REGISTER, ids=NAMES)
def test_an_entry_is_complete_and_consistent(quantity: Quantity) -> None:
    assert quantity.symbol
    assert quantity.meaning
    assert quantity.low < quantity.high
    assert quantity.decimals >= 0
    assert quantity.us_decimals >= 0
    for spelling in (quantity.unit, quantity.metric, quantity.us):
        assert spelling in units.SPELLINGS
    assert units.same_kind(quantity.unit, quantity.metric)
    if not quantity.as_caco3:
        assert units.same_kind(quantity.unit, quantity.us)


@pytest.mark.parametrize("quantity", REGISTER, ids=NAMES)
def test_one_suffix_always_means_one_unit(quantity: Quantity) -> None:
    if quantity.suffix:
        same = {other.unit for other in REGISTER if other.suffix == quantity.suffix}
        assert same == {quantity.unit}


def test_only_a_capacity_may_stand_as_calcium_carbonate() -> None:
    assert [quantity for quantity in REGISTER if quantity.as_caco3] == [CAPACITY]


def test_the_quantity_of_a_field_is_read_from_its_annotation() -> None:
    assert quantity_of(Barrel, "volume_l") is VOLUME
    assert quantity_of(Barrel, "set_point_c") is TEMPERATURE
    assert quantity_of(Barrel, "open_") is None


def test_a_quantity_is_found_inside_a_union_or_a_tuple() -> None:
    assert find_quantity(Annotated[float, VOLUME] | None) is VOLUME
    assert find_quantity(tuple[Annotated[float, VOLUME], ...]) is VOLUME
    assert find_quantity(float) is None


@pytest.mark.parametrize(
    ("attribute", "quantity", "written"),
    [
        ("volume_l", VOLUME, "volume"),
        ("set_point_c", TEMPERATURE, "set_point"),
        ("open_", None, "open"),
        ("from_", None, "from"),
        ("volume_l", None, "volume_l"),
    ],
)
def test_written_name(attribute: str, quantity: Quantity | None, written: str) -> None:
    assert written_name(attribute, quantity) == written
