"""The demo's water worked out by hand, from the test sheet to the price of a draw."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from docs.hand_check import SHEET, Step, demo_plan, mean_draw_l, season_m3, steps, water_counts
from waterkit.plan import SeasonPlan

BY_HAND: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "hand-check.toml").read_text("utf-8")
)
IONS = list(SHEET)
TO_A_CENT = 0.005


@pytest.fixture(scope="module")
def plan() -> SeasonPlan:
    return demo_plan()


@pytest.fixture(scope="module")
def found(plan: SeasonPlan) -> dict[str, Step]:
    return steps(plan)


def agree(program: float, by_hand: float, digits: int) -> bool:
    """Whether they differ by at most one unit of the last digit that was worked out by hand."""
    return abs(program - by_hand) <= 1.0 * 10.0**-digits


@pytest.mark.parametrize("ion", IONS)
def test_each_ion_of_the_sheet(ion: str, found: dict[str, Step]) -> None:
    hand = BY_HAND[ion]
    for unit in ("mmol_l", "meq_l"):
        assert agree(found[f"{ion}_{unit}"].value, hand[unit], hand["digits"]), unit


@pytest.mark.parametrize("hand", BY_HAND["step"], ids=lambda hand: str(hand["key"]))
def test_each_step(hand: dict[str, Any], found: dict[str, Step]) -> None:
    assert agree(found[hand["key"]].value, hand["value"], hand["digits"])


def test_nothing_on_the_page_is_left_unchecked(found: dict[str, Step]) -> None:
    ions = {f"{ion}_{unit}" for ion in IONS for unit in ("mmol_l", "meq_l")}
    told = {hand["key"] for hand in BY_HAND["step"]}
    assert ions | told | {"price_m3", "price_draw"} == found.keys()


def test_the_sheet_is_the_one_that_the_demo_prints() -> None:
    page = (Path(__file__).parents[1] / "data/demo-club/water-tests.csv").read_text("utf-8")
    names = ("calcium,98", "magnesium,24", "sodium,17", "potassium,2.1", "ammonium,<0.05",
             "iron,<0.02", "manganese,0.006", "alkalinity,280", "chloride,30", "sulfate,46",
             "nitrate,14", "fluoride,0.14", "silica,14", "pH,7.4", "temperature,9.8")  # fmt: skip
    assert [name for name in names if f",feed,{name}," not in page] == []


def test_the_price_of_a_cubic_metre(plan: SeasonPlan, found: dict[str, Step]) -> None:
    prices, counts = BY_HAND["prices"], water_counts(plan)
    assert prices.keys() == counts.keys()
    by_hand = sum(counts[item] * prices[item] for item in prices) / season_m3(plan)
    assert found["price_m3"].value == pytest.approx(by_hand, abs=TO_A_CENT)


def test_the_price_of_a_draw(plan: SeasonPlan, found: dict[str, Step]) -> None:
    by_hand = found["price_m3"].value / 1000 * mean_draw_l(plan)
    assert found["price_draw"].value == pytest.approx(by_hand, abs=TO_A_CENT)
