"""Checking a batch: what bags tell, what a jug tells, and when it tells nothing."""

from dataclasses import replace

import numpy as np
import pytest

from waterkit.errors import FieldError
from waterkit.ice.batches import Batch, plan_paint
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
        (COARSE, 0.18, "thick"),
        (COARSE, 0.3, "far off"),
        (GOOD, 0.049, "far off"),
        (GOOD, 0.051, "thin"),
        (GOOD, 0.2, "thick"),
        (GOOD, 0.21, "far off"),
    ],
)
def test_outcomes(white: White, ratio: float, outcome: str) -> None:
    reading = read_jug(white, weighed_g(white, ratio), 300.0)
    assert reading.outcome == outcome
    assert jug_test(white).tells == (white is GOOD)
    assert (reading.add_powder_kg > 0, reading.add_water_l > 0) == (
        outcome == "thin",
        outcome == "thick",
    )
    assert outcome in ("thin", "thick") or not reading.notes


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


@pytest.mark.parametrize(("white", "before_l"), [(GOOD, 0.0), (replace(GOOD, heel_l=40.0), 40.0)])
def test_what_the_tank_has_no_room_for_goes_into_a_drum(white: White, before_l: float) -> None:
    # A quarter more powder asks for a quarter more water: 250 L of it, 62.5 L, and what is in the
    # tank already do not fit 300 L. Tank and drum must both come to the ratio, the tank just full.
    batch = Batch(2, 250.0, 25.0, 250.0 + 25.0 / 4.17, 1.07, in_tank_l=before_l)
    reading = read_powder(white, batch, 31.25)
    assert reading.add_water_l == pytest.approx(62.5)
    in_tank_l = before_l + 250.0 + 31.25 / 4.17
    kept_l = in_tank_l - reading.drum_l
    assert kept_l + (1.0 - reading.drum_share) * 62.5 == pytest.approx(white.tank_l)
    assert reading.drum_l / (reading.drum_share * 62.5) == pytest.approx(in_tank_l / 62.5)
    (note,) = reading.notes
    assert note.values["mix_l"] == pytest.approx(in_tank_l + 62.5)
    assert note.values["more_l"] == pytest.approx(62.5)


def test_only_the_heel_makes_a_batch_overflow() -> None:
    # 250 L of water, 28 kg and 30 L for them are 287 L: a tank of 300 L has room, with a heel of
    # 40 L below them it has not.
    for before_l, drum in ((0.0, False), (40.0, True)):
        batch = Batch(2, 250.0, 25.0, 256.0, 1.07, in_tank_l=before_l)
        reading = read_powder(replace(GOOD, heel_l=before_l), batch, 28.0)
        assert reading.add_water_l == pytest.approx(30.0)
        assert (reading.drum_l > 0.0, bool(reading.notes)) == (drum, drum)


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
    with pytest.raises(FieldError, match="less than water"):
        read_jug(GOOD, -20.0, 300.0)
    assert read_powder(GOOD, batch, 20.0 * batch.powder_kg).outcome == "far off"
    assert read_powder(GOOD, batch, 2.0 * batch.powder_kg).outcome == "thick"  # every bag twice
