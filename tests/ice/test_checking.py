"""Checking a batch: what bags tell, what a jug tells, and when it tells nothing."""

from dataclasses import replace

import numpy as np
import pytest

from waterkit.errors import FieldError
from waterkit.ice.batches import plan_paint
from waterkit.ice.checking import (
    TOLERANCE_PERCENT,
    correction_of_a_gram,
    jug_test,
    read_jug,
    read_powder,
)
from waterkit.ice.paint import Ratio, White, powder_per_mix, water_per_mix

GOOD = White(
    powder_density_kg_l=4.17,
    ratio=Ratio(0.1, "water"),
    jug_l=5.0,
    scale_g=1.0,
    jug_fill_percent=0.1,
)
COARSE = replace(GOOD, jug_l=1.0, scale_g=50.0, jug_fill_percent=1.0)
# Water of 10 degC: 0.9997 kg/L (Tanaka 2001).
WATER_KG_L = 0.9997


def weighed_g(white: White, ratio_kg_l: float) -> float:
    """Jug of mix less jug of water, from the litres of powder and water in the jug."""
    made = Ratio(ratio_kg_l, white.ratio.per)
    powder = powder_per_mix(made, white.powder_density_kg_l)
    water = water_per_mix(made, white.powder_density_kg_l)
    assert white.jug_l is not None
    return float(white.jug_l * (powder + (water - 1.0) * WATER_KG_L) * 1e3)


def test_a_jug_by_hand() -> None:
    # 100 g of powder in a litre of water make 1.02398 L of 1.0740 kg/L: 5 L weigh 371 g more.
    test = jug_test(GOOD)
    assert test.expected_g == pytest.approx(5000 * ((0.9997 + 0.1) / 1.0239808 - 0.9997), abs=0.2)
    # Scale 1 g twice, fill 5 g twice, jug 1 % of 371 g, 2 degC of 5 kg (0.24 g/L): root of the sum
    # of squares of the bounds, over root 3, twice.
    causes = [0.5, 0.5, 5.0, 5.0, 3.71, 1.1]
    assert test.uncertain_g == pytest.approx(2 * np.sqrt(np.sum(np.square(causes)) / 3), rel=0.02)
    assert test.tells
    assert test.low_g < test.expected_g - test.uncertain_g + 1e-9
    assert test.high_g > test.expected_g + test.uncertain_g - 1e-9


@pytest.mark.parametrize("per", ["water", "mix"])
def test_the_ratio_is_read_back(per: str) -> None:
    white = replace(GOOD, ratio=Ratio(0.1, "water" if per == "water" else "mix"))
    for ratio in (0.08, 0.1, 0.13):
        reading = read_jug(white, weighed_g(white, ratio), 300.0)
        assert reading.ratio_kg_l == pytest.approx(ratio, rel=1e-4)
        assert reading.low_kg_l < ratio < reading.high_kg_l


@pytest.mark.parametrize(
    ("white", "ratio", "outcome"),
    [
        (GOOD, 0.1, "as planned"),
        (GOOD, 0.103, "as planned"),
        (GOOD, 0.08, "thin"),
        (GOOD, 0.12, "thick"),
        (COARSE, 0.1, "cannot tell"),
        (COARSE, 0.12, "cannot tell"),
        (COARSE, 0.3, "thick"),
    ],
)
def test_outcomes(white: White, ratio: float, outcome: str) -> None:
    reading = read_jug(white, weighed_g(white, ratio), 300.0)
    assert reading.outcome == outcome
    assert jug_test(white).tells == (white is GOOD)
    wrong = outcome in ("thin", "thick")
    assert (reading.add_powder_kg > 0, reading.add_water_l > 0) == (
        outcome == "thin",
        outcome == "thick",
    )
    assert wrong or not reading.notes


def test_what_is_added_brings_the_ratio() -> None:
    for ratio in (0.08, 0.125):
        reading = read_jug(GOOD, weighed_g(GOOD, ratio), 250.0)
        made = Ratio(ratio, "water")
        powder = 250.0 * powder_per_mix(made, 4.17) + reading.add_powder_kg
        water = 250.0 * water_per_mix(made, 4.17) + reading.add_water_l
        assert powder / water == pytest.approx(0.1, rel=1e-3)


@pytest.mark.parametrize("per", ["water", "mix"])
def test_what_a_gram_asks_for_is_what_the_whole_difference_asks_for(per: str) -> None:
    white = replace(GOOD, ratio=Ratio(0.12, "water" if per == "water" else "mix"))
    gram, expected_g = correction_of_a_gram(white, 200.0), jug_test(white).expected_g
    for off_g in (-150.0, -90.0, 90.0, 150.0):
        reading = read_jug(white, expected_g + off_g, 200.0)
        assert reading.add_powder_kg == pytest.approx(max(-off_g, 0.0) * gram.powder_kg)
        assert reading.add_water_l == pytest.approx(max(off_g, 0.0) * gram.water_l)


def test_air_in_a_thin_batch_and_a_full_tank_are_told() -> None:
    thin = read_jug(GOOD, weighed_g(GOOD, 0.08), 100.0)
    assert [note.key for note in thin.notes] == ["batch-air-looks-thin"]
    thick = read_jug(GOOD, weighed_g(GOOD, 0.15), 300.0)
    assert [note.key for note in thick.notes] == ["batch-correction-overflows"]


def test_simulated_weighings_are_rarely_judged_wrong() -> None:
    # Batches exactly as planned, weighed with errors up to their bounds: thin or thick is wrong.
    rng = np.random.default_rng(8)
    wrong = 0
    for _ in range(500):
        fill, step, jug, warm = rng.uniform(-1, 1, (4, 2))
        assert GOOD.jug_l is not None
        error = 5.0 * (fill[0] - fill[1]) + 0.5 * (step[0] - step[1])
        error += 0.01 * jug[0] * weighed_g(GOOD, 0.1) + 0.9 * warm[0]
        reading = read_jug(GOOD, weighed_g(GOOD, 0.1) + error, 300.0)
        assert reading.outcome != "cannot tell"
        wrong += reading.outcome != "as planned"
        wrong += not reading.low_kg_l <= 0.1 <= reading.high_kg_l
    assert wrong < 0.05 * 500


def test_bags_tell_without_a_scale() -> None:
    white = replace(GOOD, jug_l=None, scale_g=None)
    batch = plan_paint(white, 300.0, bag_kg=10.0).batches[0]
    assert read_powder(white, batch, batch.powder_kg).outcome == "as planned"
    short = read_powder(white, batch, batch.powder_kg - 5.0)
    assert short.outcome == "thin"
    assert short.add_powder_kg == pytest.approx(5.0, abs=1e-2)
    assert short.notes == ()
    much = read_powder(white, batch, batch.powder_kg + 5.0)
    assert much.outcome == "thick"
    added = batch.water_l + much.add_water_l
    assert (batch.powder_kg + 5.0) / added == pytest.approx(0.1, rel=1e-3)
    assert 100 * (much.ratio_kg_l / 0.1 - 1) > TOLERANCE_PERCENT


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"jug_l": None}, "jug"), ({"jug_l": 0.0}, "jug"), ({"scale_g": None}, "scale")],
)
def test_a_check_needs_jug_and_scale(changes: dict[str, float | None], field: str) -> None:
    with pytest.raises(FieldError) as caught:
        jug_test(replace(GOOD, **changes))  # type: ignore[arg-type]
    assert (caught.value.field, bool(caught.value.hint)) == (field, True)


def test_figures_that_cannot_be_are_refused() -> None:
    with pytest.raises(FieldError, match="cannot weigh"):
        read_jug(GOOD, 20_000.0, 300.0)
    batch = plan_paint(GOOD, 300.0).batches[0]
    with pytest.raises(FieldError, match="no powder"):
        read_powder(GOOD, batch, 0.0)
