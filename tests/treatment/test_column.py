"""The column: conservation, order, shapes of a column, and what it refuses."""

from dataclasses import replace

import numpy as np
import pytest

from tests.reference.column_curves import FEEDS
from waterkit.errors import FieldError
from waterkit.treatment.bed import Bed, FeedWater, feed_of, loads_meq_l
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.column import run_column
from waterkit.treatment.exchange import ANIONS, CATIONS, CHARGE
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.parcels import parcel_sizes
from waterkit.treatment.points import MOST_POINTS, crossing
from waterkit.water.composition import Water
from waterkit.water.equilibria import log_k1

HARD = FeedWater(
    {"Na": 1.2, "K": 0.1, "Ca": 2.4, "Mg": 1.0, "Cl": 1.5, "SO4": 0.6, "C": 5.8, "SiO2": 0.3}, 10.0
)
CATION_MEQ_L, ANION_MEQ_L = 8.1, 8.8
MIXED = Bed(0.19, 0.195, 0.4)
ANION_SHORT, CATION_SHORT = Bed(0.24, 0.16, 0.4), Bed(0.14, 0.23, 0.4)
SILICA, TEN = Endpoint("silica", 0.1), Endpoint("conductivity", 10.0)


@pytest.fixture(scope="module")
def mixed() -> ColumnRun:
    return run_column([MIXED], HARD)


def litres(run: ColumnRun, mark: Endpoint = TEN) -> float:
    found = run.litres_to(mark).litres_l
    assert found is not None
    return found


def free_forms(beds: tuple[Bed, ...]) -> float:
    """H and OH forms of some beds [meq]."""
    held = sum(
        CHARGE[key] * amount.sum() for bed in beds for key, amount in (bed.held_mmol or {}).items()
    )
    return float(1000.0 * sum(bed.cation_eq + bed.anion_eq for bed in beds) - held)


# Balances.


def test_what_goes_in_comes_out_or_stays(mixed: ColumnRun) -> None:
    assert mixed.balance_error < 1e-9


def test_nothing_is_negative(mixed: ColumnRun) -> None:
    assert min(amount.min() for amount in mixed.mmol_l.values()) >= 0.0
    (bed,) = mixed.beds_after
    assert bed.held_mmol is not None
    assert min(amount.min() for amount in bed.held_mmol.values()) >= 0.0


def test_an_exhausted_resin_is_full_and_lets_the_feed_through() -> None:
    run = run_column([replace(MIXED, cells=5)], HARD, litres=250.0)
    for key, amount in HARD.mmol_l.items():
        assert run.mmol_l[key][-1] == pytest.approx(amount, rel=0.01)
    (bed,) = run.beds_after
    assert bed.held_mmol is not None
    for keys, capacity_eq in ((CATIONS, 0.19), (ANIONS, 0.195)):
        full = sum(CHARGE[key] * bed.held_mmol[key].sum() for key in keys if key in bed.held_mmol)
        assert full == pytest.approx(1000.0 * capacity_eq, rel=1e-4)


@pytest.mark.parametrize("bed", [Bed(0.2, 0.0, 0.4), Bed(0.0, 0.2, 0.4), ANION_SHORT])
def test_no_resin_holds_more_than_its_sites_or_what_is_not_its_own(bed: Bed) -> None:
    """Sites and charge are checked on the result: the balance of mass holds by itself."""
    (after,) = run_column([bed], HARD, litres=25.0).beds_after
    held = after.held_mmol or {}
    for keys, capacity_eq in ((CATIONS, float(bed.cation_eq)), (ANIONS, float(bed.anion_eq))):
        mine = [CHARGE[key] * held[key] for key in keys if key in held]
        assert min(amount.min() for amount in mine) >= 0.0
        most = 1000.0 * capacity_eq / bed.cells
        assert np.all(np.sum(mine, axis=0) <= most * (1.0 + 1e-6))
        if capacity_eq == 0.0:
            assert np.all(np.sum(mine, axis=0) == 0.0)


def test_the_water_that_leaves_has_no_charge(mixed: ColumnRun) -> None:
    """From pH and what is dissolved, with the dissociation of carbonic acid by itself."""
    place = int(np.searchsorted(mixed.litres, 0.9 * mixed.litres[-1]))
    water = {key: float(amount[place]) for key, amount in mixed.mmol_l.items()}
    cations = sum(CHARGE[key] * water[key] for key in CATIONS if key in water)
    strong = sum(CHARGE[key] * water[key] for key in ("Cl", "SO4"))
    h = 10.0 ** -float(mixed.ph[place])
    k1 = 10.0 ** float(log_k1(10.0))
    bicarbonate = water["C"] / (1.0 + h * 0.95**2 / k1)  # 0.95: activity coefficient, roughly
    assert cations == pytest.approx(strong + bicarbonate, rel=0.03)


@pytest.mark.parametrize("feed", ["hard well", "permeate", "high nitrate", "very soft", "gypsum"])
def test_hydrogen_and_hydroxide_forms_never_rise(feed: str) -> None:
    """A feed that is caustic itself (pH above 11) would regenerate anion resin: not these."""
    water = FeedWater(*FEEDS[feed])
    cations, anions, _ = (float(load) for load in loads_meq_l(water))
    bed = Bed(0.02 * cations, 0.022 * anions, 0.4)
    forms = [
        free_forms(run_column([bed], water, litres=volume, parcels_per_cell=8.0).beds_after)
        for volume in (2.0, 8.0, 14.0, 18.0, 22.0, 26.0, 40.0)
    ]
    assert np.all(np.diff(forms) < 1e-6 * forms[0])


def test_the_first_litres_are_taken_whole() -> None:
    free = free_forms(run_column([MIXED], HARD, litres=2.0, parcels_per_cell=8.0).beds_after)
    assert free == pytest.approx(385.0 - 1.6 * (CATION_MEQ_L + ANION_MEQ_L), rel=0.02)


def test_litres_follow_from_capacity_and_load() -> None:
    run = run_column([replace(ANION_SHORT, cells=60)], HARD, litres=26.0)
    ideal = 0.4 + 1000.0 * 0.16 / ANION_MEQ_L  # every equivalent of the anion resin is used
    assert litres(run, Endpoint("silica", 9.0)) < ideal < litres(run)
    assert litres(run) == pytest.approx(ideal, rel=0.05)


# Steps and cells.


def test_smaller_parcels_move_nothing_much() -> None:
    found = [
        litres(run_column([MIXED], HARD, litres=26.0, parcels_per_cell=many))
        for many in (6.0, 12.5, 25.0, 50.0)
    ]
    moves = np.abs(np.diff(found))
    assert moves[1] < 0.6 * moves[0]
    assert moves[2] < 0.7 * moves[1]
    assert 2.0 * moves[2] < 0.005 * found[-1]  # what is left from 25 parcels a cell on


def test_more_cells_make_a_sharper_front() -> None:
    foot = [
        litres(run_column([replace(MIXED, cells=many)], HARD, litres=26.0), SILICA)
        for many in (6, 12, 24, 48)
    ]
    moves = np.diff(foot)
    assert np.all(moves > 0.0)
    assert moves[1] < 0.7 * moves[0]
    assert moves[2] < 0.7 * moves[1]


def test_parcels_grow_with_their_place() -> None:
    sizes = parcel_sizes(400.0, 100.0)
    assert sizes[:100].tolist() == [1.0] * 100
    assert sizes.sum() >= 400.0 > sizes[:-1].sum() * 0.99
    assert sizes[-1] == pytest.approx(4.0, rel=0.05)
    assert parcel_sizes(3.2, np.inf).tolist() == [1.0] * 4


# Shapes of a column.


def test_two_beds_in_series_are_one_long_bed() -> None:
    lead_lag = run_column([MIXED, MIXED], HARD, litres=60.0)
    one = run_column([Bed(0.38, 0.39, 0.8, 40)], HARD, litres=60.0)
    assert litres(lead_lag) == pytest.approx(litres(one), rel=1e-6)
    assert np.allclose(lead_lag.conductivity_25_us_cm, one.conductivity_25_us_cm, rtol=1e-6)


def test_the_lag_comes_to_the_lead_with_what_it_holds() -> None:
    both = run_column([MIXED, MIXED], HARD, litres=30.0)
    lag = both.beds_after[1]
    fresh, worn = litres(run_column([MIXED], HARD)), litres(run_column([lag], HARD))
    assert 0.3 * fresh < worn < 0.9 * fresh


def test_a_run_goes_on_where_it_stopped(mixed: ColumnRun) -> None:
    half = run_column([MIXED], HARD, litres=10.0)
    rest = run_column(half.beds_after, HARD)
    # the pores were rinsed in between: their water counts twice
    assert 10.0 + litres(rest) - 0.4 == pytest.approx(litres(mixed), rel=0.01)


def test_a_partly_regenerated_bed_lasts_as_long_as_what_is_regenerated() -> None:
    worn = Bed(0.38, 0.39, 0.4, cation_form={"Ca": 0.3, "Na": 0.2}, anion_form={"Cl": 0.5})
    found = run_column([worn], HARD)
    fresh = run_column([MIXED], HARD)
    assert found.balance_error < 1e-9
    assert found.conductivity_25_us_cm[0] > fresh.conductivity_25_us_cm[0]  # it leaks
    leaks = Endpoint("conductivity", 100.0)
    assert litres(found, leaks) == pytest.approx(litres(fresh, leaks), rel=0.15)


def test_cation_bed_then_anion_bed() -> None:
    acid = run_column([Bed(0.2, 0.0, 0.2)], HARD)
    strong = 1.5 + 2 * 0.6
    middle = acid.litres < 10.0
    assert acid.ph[middle][-1] == pytest.approx(-np.log10(strong / 1000.0), abs=0.06)
    both = run_column([Bed(0.2, 0.0, 0.2), Bed(0.0, 0.2, 0.2)], HARD)
    assert litres(both) == pytest.approx(0.4 + 1000.0 * 0.2 / ANION_MEQ_L, rel=0.1)
    assert both.conductivity_25_us_cm[both.litres < 10.0].max() < 1.0


def test_a_softener_gives_sodium_for_hardness() -> None:
    resin = Bed(0.2, 0.0, 0.2, cation_form={"Na": 1.0})
    run = run_column([resin], HARD)
    hardness = run.mmol_l["Ca"] + run.mmol_l["Mg"]
    early = (run.litres > 1.0) & (run.litres < 10.0)
    assert hardness[early].max() < 0.01 * 3.4
    sodium = run.mmol_l["Na"][early]
    assert sodium.min() > 0.97 * (CATION_MEQ_L - 0.1)
    ideal = 0.2 + 1000.0 * 0.2 / 6.8  # all of the resin against the hardness
    assert float(crossing(run.litres, hardness, 1.7)) == pytest.approx(ideal, rel=0.1)


def test_many_beds_at_once_are_each_by_itself() -> None:
    shares = np.array([0.8, 1.0, 1.3])
    feed = FeedWater({key: amount * shares for key, amount in HARD.mmol_l.items()}, 10.0)
    sizes = np.array([0.9, 1.0, 1.1])
    many = run_column([Bed(0.19 * sizes, 0.195, 0.4)], feed)
    each = many.litres_to_each(TEN)
    for place, share in enumerate(shares):
        one = FeedWater({key: amount * share for key, amount in HARD.mmol_l.items()}, 10.0)
        alone = run_column([Bed(0.19 * sizes[place], 0.195, 0.4)], one)
        assert each[place] == pytest.approx(litres(alone), rel=2e-3)
        assert litres(many.bed(place)) == each[place]
        assert many.bed(place).order == alone.order


# Answers.


def test_a_scaled_bed_is_a_bed_of_that_size(mixed: ColumnRun) -> None:
    double = run_column([Bed(0.38, 0.39, 0.4)], HARD)
    scaled = mixed.scaled(2.0)
    for mark in (SILICA, TEN):
        assert litres(scaled, mark) == pytest.approx(litres(double, mark), rel=1e-6)
    assert scaled.beds_after[0].cation_eq == 0.38


def test_scaling_to_trusted_litres(mixed: ColumnRun) -> None:
    run, factor = mixed.moved(litres(mixed), 12.0)
    assert litres(run) == pytest.approx(12.0)
    assert factor == pytest.approx((12.0 - 0.4) / (litres(mixed) - 0.4))
    assert litres(run, SILICA) < 12.0
    with pytest.raises(FieldError, match="rinse"):
        mixed.moved(litres(mixed), 0.3)


def test_anion_side_first() -> None:
    run = run_column([ANION_SHORT], HARD)
    assert run.order == "anion-first"
    assert [key for key, _ in run.leaving_order][:2] == ["SiO2", "C"]
    plateau = (run.litres > 20.0) & (run.litres < 26.0)
    assert np.all((run.ph[plateau] > 4.0) & (run.ph[plateau] < 5.0))  # carbonic acid


def test_cation_side_first() -> None:
    run = run_column([CATION_SHORT], HARD)
    assert run.order == "cation-first"
    assert run.leaving_order[0][0] == "Na"
    assert run.ph.max() > 11.0
    jump = litres(run, Endpoint("conductivity", 100.0)) - litres(run, Endpoint("conductivity", 1.0))
    assert jump < 0.02 * litres(run)


def test_both_together() -> None:
    water = FeedWater({"Na": 3.0, "Cl": 3.0}, 10.0)
    assert run_column([Bed(0.1, 0.1, 0.4)], water).order == "together"


def test_mineral_acid() -> None:
    water = FeedWater({"Na": 1.5, "Ca": 0.3, "Cl": 1.9, "C": 0.3, "SiO2": 0.1}, 8.0)
    run = run_column([Bed(0.12, 0.06, 0.4)], water)
    assert run.order == "anion-first"
    assert run.ph.min() == pytest.approx(-np.log10(1.9e-3), abs=0.1)
    acid = run.mineral_acid_l
    assert acid is not None
    assert litres(run, SILICA) < acid
    assert run_column([CATION_SHORT], HARD).mineral_acid_l is None


def test_silica_wave(mixed: ColumnRun) -> None:
    wave = mixed.silica_wave
    assert wave.peak_mg_l > 2.0 * wave.feed_mg_l
    assert wave.feed_mg_l == pytest.approx(0.3 * 60.083)
    held = 0.4 + litres(mixed, SILICA)
    assert 0.0 < wave.grams_g * 1000.0 <= wave.feed_mg_l * held * 1.05
    assert wave.soluble_mg_l == pytest.approx(86.5, abs=0.1)  # amorphous silica at 10 degC


def test_marks_that_are_not_passed_have_a_reason(mixed: ColumnRun) -> None:
    assert mixed.litres_to(Endpoint("conductivity", 0.05)).reason == "below-fresh-resin"
    never = mixed.litres_to(Endpoint("conductivity", 5000.0))
    assert (never.litres_l, never.reason) == (None, "not-reached")
    assert 500.0 < never.most < 5000.0
    with pytest.raises(ValueError, match="litres"):
        mixed.litres_to(Endpoint("litres", 90.0))


def test_fresh_resin_gives_pure_water_and_its_pores_leave_first(mixed: ColumnRun) -> None:
    run = run_column([MIXED], HARD, litres=5.0)
    assert run.conductivity_25_us_cm[0] == pytest.approx(0.055, abs=0.0005)
    assert run.litres[:3].tolist() == pytest.approx([0.0, 0.4, 0.4])
    assert mixed.litres[0] == 0.0
    assert np.all(np.diff(mixed.litres) >= 0.0)


def test_no_more_points_than_people_look_at(mixed: ColumnRun) -> None:
    assert len(mixed.litres) <= MOST_POINTS


def test_progress_is_told() -> None:
    told: list[float] = []
    run_column([MIXED], HARD, litres=2.0, tell=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0


# The feed.


def test_a_water_as_the_resin_sees_it() -> None:
    water = Water(
        {"Ca": 2.0, "Sr": 0.1, "Cl": 1.0, "Br": 0.2, "C": 3.2, "SiO2": 0.2}, 3.0, 7.5, 10.0
    )
    feed = feed_of(water)
    assert feed.mmol_l["Ca"] == pytest.approx(2.1)
    assert feed.mmol_l["Cl"] == pytest.approx(1.2)
    assert feed.mmol_l["Na"] == pytest.approx(0.0)
    assert [note.key for note in feed.notes] == ["taken-as-like-ion"]


@pytest.mark.parametrize(("alkalinity", "ion"), [(3.5, "Na"), (2.5, "Cl")])
def test_what_is_short_for_the_balance_is_added(alkalinity: float, ion: str) -> None:
    feed = feed_of(Water({"Ca": 2.0, "Cl": 1.0, "C": 3.2}, alkalinity, 7.5, 10.0))
    assert feed.mmol_l[ion] == pytest.approx(0.5 + (1.0 if ion == "Cl" else 0.0))
    assert [note.key for note in feed.notes] == ["feed-balanced"]


# What is refused, in words.


@pytest.mark.parametrize(
    ("beds", "feed", "words"),
    [
        ([], HARD, "needs a bed"),
        ([Bed(0.0, 0.0, 0.4)], HARD, "no capacity"),
        ([Bed(-0.1, 0.2, 0.4)], HARD, "below none"),
        ([Bed(np.nan, 0.2, 0.4)], HARD, "below none"),
        ([Bed(0.1, 0.1, 0.0)], HARD, "no water between"),
        ([Bed(0.1, 0.1, 0.4, 0)], HARD, "no cells"),
        ([Bed(0.1, 0.1, 0.4, cation_form={"Na": 0.7, "Ca": 0.6})], HARD, "more than it can"),
        ([MIXED], FeedWater({}, 10.0), "nothing for a resin"),
        ([MIXED], FeedWater({"Na": 0.0, "Cl": 0.0}, 10.0), "nothing for a resin"),
        ([Bed(0.1, 0.0, 0.4)], FeedWater({"C": 0.5}, 10.0), "these resins take"),
        ([MIXED], FeedWater({"Na": -1.0, "Cl": 1.0}, 10.0), "below none"),
        ([MIXED], FeedWater({"Na": 400.0, "Cl": 400.0}, 10.0), "too salty"),
    ],
)
def test_bad_input_is_told_in_words(beds: list[Bed], feed: FeedWater, words: str) -> None:
    with pytest.raises(FieldError, match=words):
        run_column(beds, feed)


def test_no_water_no_run() -> None:
    with pytest.raises(FieldError, match="no water runs"):
        run_column([MIXED], HARD, litres=0.0)
