"""One vessel's run: its ideal bed, and the bed scaled to trusted litres."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.treatment.bed import Bed, FeedWater, loads_meq_l
from waterkit.treatment.column import run_column
from waterkit.treatment.ion_exchange import (
    Changeout,
    Endpoint,
    ResinRun,
    Vessel,
    run_by_rating,
)
from waterkit.treatment.vessel_run import (
    AGREES,
    VesselRun,
    at_change,
    bed_of,
    changed_by_column,
    vessel_run,
)
from waterkit.water.composition import Load

HARD = FeedWater(
    {"Na": 1.2, "K": 0.1, "Ca": 2.4, "Mg": 1.0, "Cl": 1.5, "SO4": 0.6, "C": 5.8, "SiO2": 0.3}, 10.0
)
TEN, SILICA = Endpoint("conductivity", 10.0), Endpoint("silica", 0.1)
VESSEL = Vessel("V1", "lead", 100.0, rated_eq_l=0.41, rated_to=TEN)


def run(vessel: Vessel = VESSEL, litres: float = 2000.0, feed: FeedWater = HARD) -> VesselRun:
    return vessel_run(vessel, feed, litres, lambda bed, water: run_column([bed], water))


@pytest.fixture(scope="module")
def found() -> VesselRun:
    return run()


@pytest.fixture(scope="module")
def rated() -> ResinRun:
    cations, anions, _ = (float(value) for value in loads_meq_l(HARD))
    return run_by_rating(VESSEL, Load(cations, anions), Changeout())


def test_the_scaled_bed_reaches_its_end_at_the_trusted_litres(found: VesselRun) -> None:
    assert found.run.litres_to(TEN).litres_l == pytest.approx(2000.0, rel=1e-9)
    model_l = found.by_model.litres_l
    assert model_l == found.ideal.litres_to(TEN).litres_l
    assert found.trusted_over_model == pytest.approx(2000.0 / (model_l or 0.0))
    assert found.bed.cation_eq == pytest.approx(found.factor * found.ideal.beds_after[0].cation_eq)


def test_running_the_scaled_bed_again_gives_the_same_litres(found: VesselRun) -> None:
    """What the answer hands to other engines is the bed whose curve is shown."""
    bed = replace(found.bed, held_mmol=None)
    again = run_column([bed], HARD)
    for mark in (SILICA, TEN, Endpoint("conductivity", 1.0)):
        shown = found.run.litres_to(mark).litres_l
        assert again.litres_to(mark).litres_l == pytest.approx(shown, rel=2e-3)


def test_an_ideal_bed_by_hand() -> None:
    """2 and 1 eq/L, 40 % cation resin, 50 % regenerated: 0.4 x 2 x 0.5, 0.6 x 1 x 0.5 a litre."""
    bed, notes = bed_of(
        Vessel(
            "V1", "lead", 10.0, cation_total_eq_l=2.0, anion_total_eq_l=1.0,
            regenerated_share_percent=50.0,
        )
    )  # fmt: skip
    assert (bed.cation_eq, bed.anion_eq, bed.pore_l) == pytest.approx((4.0, 3.0, 4.0))
    assert not notes


def test_what_a_bed_assumes_is_told() -> None:
    keys = [note.key for note in bed_of(VESSEL)[1]]
    assert keys == ["totals-assumed", "resin-share-assumed"]


def test_an_end_that_nobody_told_is_told() -> None:
    assert "rated-end-assumed" in {note.key for note in run(replace(VESSEL, rated_to=None)).notes}


@pytest.mark.parametrize(("litres", "told"), [(4700.0, False), (2000.0, True), (9000.0, True)])
def test_litres_far_from_the_model_are_told(litres: float, told: bool) -> None:
    found = run(litres=litres)
    assert ("model-far-from-trusted" in {note.key for note in found.notes}) == told
    assert (AGREES[0] <= found.trusted_over_model <= AGREES[1]) != told


def test_an_end_that_this_water_never_shows_scales_by_capacity() -> None:
    weak = FeedWater({"Na": 0.05, "Cl": 0.04, "C": 0.02, "SiO2": 0.01}, 10.0)
    found = run(replace(VESSEL, rated_to=Endpoint("conductivity", 50.0)), 500_000.0, weak)
    assert found.by_model.reason == "not-reached"
    assert "scaled-by-capacity" in {note.key for note in found.notes}
    assert found.run.litres_to(SILICA).litres_l == pytest.approx(500_000.0, rel=0.3)


def test_carbon_dioxide_that_conducts_little_does_not_stretch_the_litres() -> None:
    """A feed with more load never gives more litres, however the meter sees its carbon dioxide."""
    litres = []
    for carbon in (0.5, 0.9, 1.3, 1.5, 1.8):
        mmol_l = {"Na": 0.12, "Ca": 0.01, "Cl": 0.05, "NO3": 0.02, "C": carbon, "SiO2": 0.03}
        feed = FeedWater(mmol_l, 10.0)
        _, anions, _ = (float(value) for value in loads_meq_l(feed))
        trusted_l = 1000.0 * 41.0 / anions
        reached = run(VESSEL, trusted_l, feed).run.litres_to(SILICA).litres_l
        assert reached is not None
        assert reached == pytest.approx(trusted_l, rel=0.2)
        litres.append(reached)
    assert litres == sorted(litres, reverse=True)


@pytest.mark.parametrize("share", [0.0, 100.0])
def test_a_bed_of_one_resin_alone_is_refused_in_words(share: float) -> None:
    with pytest.raises(FieldError, match="takes nothing"):
        run(replace(VESSEL, cation_share_percent=share))


def test_a_mark_that_is_passed_with_the_pores_is_passed_at_once() -> None:
    found = run_column([Bed(4.0, 0.0, 4.0)], HARD)  # the anions leave with the first litre
    assert found.litres_to(TEN).reason == "below-fresh-resin"
    assert found.litres_to_each(TEN) == float("inf")


def test_trusted_litres_that_do_not_fill_the_pores_are_refused() -> None:
    with pytest.raises(FieldError, match="pores"):
        run(litres=30.0)


def test_the_change_is_the_first_of_the_marks(found: VesselRun, rated: ResinRun) -> None:
    litres = found.run.litres_to(SILICA).litres_l or 0.0
    trusted = replace(rated, litres_to_exhaustion=2000.0)
    silica = changed_by_column(trusted, Changeout((SILICA, Endpoint("litres", 99.9))), found)
    assert silica.litres_to_change == pytest.approx(litres)
    early = changed_by_column(trusted, Changeout((SILICA, Endpoint("litres", 50.0))), found)
    assert early.litres_to_change == pytest.approx(1000.0)


@pytest.mark.parametrize(
    ("mark", "key"),
    [
        (Endpoint("conductivity", 0.01), "mark-below-fresh-resin"),
        (Endpoint("conductivity", 90_000.0), "mark-not-reached"),
    ],
)
def test_a_mark_that_never_comes_is_told_and_left_out(
    found: VesselRun, rated: ResinRun, mark: Endpoint, key: str
) -> None:
    changed = changed_by_column(rated, Changeout((mark,)), found)
    assert key in {note.key for note in changed.notes}
    assert changed.litres_to_change == rated.litres_to_exhaustion


@settings(deadline=None, max_examples=15)
@given(st.floats(300.0, 5000.0))
def test_never_more_litres_than_trusted(litres: float) -> None:
    """The model gives the shape: a change never comes later than the trusted end."""
    scaled = replace(FOUND, run=FOUND.ideal.scaled((litres - 40.0) / (MODEL_L - 40.0)))
    trusted = ResinRun("anion", 8.8, 41.0, litres, None, TEN)
    changed = changed_by_column(trusted, Changeout((Endpoint("conductivity", 500.0),)), scaled)
    assert changed.litres_to_change == litres


FOUND = run()
MODEL_L = FOUND.by_model.litres_l or 0.0


def test_what_the_lead_holds_when_it_is_changed(found: VesselRun) -> None:
    early, late = at_change(found, 500.0, 1), at_change(found, 1800.0, 1)
    assert sum(late.cation_held.values()) == pytest.approx(1.0)
    assert sum(late.anion_held.values()) == pytest.approx(1.0)
    assert late.anion_held["OH"] < early.anion_held["OH"]
    taken = (1800.0 - 40.0) * 8.1 / 1000.0  # beyond the pores, no cation of the feed has left yet
    assert 1.0 - late.cation_held["H"] == pytest.approx(
        taken / float(found.bed.cation_eq), rel=5e-3
    )


def test_a_lag_keeps_the_water_good_when_the_lead_is_spent(found: VesselRun) -> None:
    alone, behind = at_change(found, 2000.0, 1), at_change(found, 2000.0, 2)
    assert alone.outlet.conductivity_25_us_cm > 5.0
    assert behind.outlet.conductivity_25_us_cm < 0.06
    assert behind.outlet.silica_mg_l < 0.01
