from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from waterkit.errors import FieldError
from waterkit.treatment.ion_exchange import (
    REGENERATED_EQ_L,
    Changeout,
    Endpoint,
    Vessel,
    check_vessel,
    run_by_rating,
    vessel_capacity,
)
from waterkit.units import convert
from waterkit.water.analysis import Load
from waterkit.water.ions import equivalents_from_caco3

LOAD = Load(5.0, 6.0)
TO_THE_END = Changeout((Endpoint("litres", 100.0),))


def vessel(**settings: Any) -> Vessel:
    return Vessel("V1", "lead", settings.pop("resin_l", 100.0), **settings)


def keys(notes: Any) -> list[str]:
    return [note.key for note in notes]


def test_the_default_is_nine_kilograins() -> None:
    # 9000 grains as CaCO3 per cubic foot of regenerated mixed bed (common practice, no source)
    grams = float(convert(9.0, "kgr/ft3", "g/L"))
    assert equivalents_from_caco3(grams) == pytest.approx(REGENERATED_EQ_L, abs=0.005)


# Litres of water per litre of new mixed resin, 10 000 grains per cubic foot: trade figures.
@pytest.mark.parametrize(("caco3_mg_l", "litres"), [(300, 76), (150, 153), (50, 458), (9, 2540)])
def test_yield_of_new_resin(caco3_mg_l: float, litres: float) -> None:
    grams = float(convert(10.0, "kgr/ft3", "g/L"))
    rated = float(equivalents_from_caco3(grams))
    load = float(equivalents_from_caco3(caco3_mg_l))
    new = vessel(resin_l=1.0, rated_eq_l=rated, rated_on="total cations")
    run = run_by_rating(new, Load(load, load), TO_THE_END)
    assert run.litres_to_exhaustion == pytest.approx(litres, rel=0.005)


@pytest.mark.parametrize(
    ("rated_on", "side", "load"),
    [
        ("total anions with CO2 and silica", "anion", 6.0),
        ("total cations", "cation", 5.0),
        ("unknown", "anion", 6.0),
    ],
)
def test_a_rating_is_held_against_what_it_counts(rated_on: Any, side: str, load: float) -> None:
    run = run_by_rating(vessel(rated_eq_l=0.4, rated_on=rated_on), LOAD, TO_THE_END)
    assert (run.limiting, run.load_meq_l, run.capacity_eq) == (side, load, 40.0)
    assert run.litres_to_exhaustion == pytest.approx(40_000 / load)
    assert ("rating-counts-unknown" in keys(run.notes)) is (rated_on == "unknown")


def test_an_unknown_rating_takes_the_larger_load() -> None:
    run = run_by_rating(vessel(rated_eq_l=0.4), Load(7.0, 6.0), TO_THE_END)
    assert (run.limiting, run.load_meq_l) == ("cation", 7.0)


# Cation 1.9, anion 1.3 eq/L, two parts to three: 0.76 and 0.78 eq per litre of mix (handbook).
def test_totals_by_share_of_the_mix() -> None:
    mixed = vessel(
        cation_total_eq_l=1.9, anion_total_eq_l=1.3, cation_share_percent=40.0,
        regenerated_share_percent=100.0, usable_share_percent=100.0,
    )  # fmt: skip
    capacity = vessel_capacity(mixed)
    assert capacity.cation_eq == pytest.approx(76.0)
    assert capacity.anion_eq == pytest.approx(78.0)
    assert capacity.notes == ()
    assert run_by_rating(mixed, Load(5.0, 5.0), TO_THE_END).limiting == "cation"
    assert run_by_rating(mixed, Load(5.0, 6.0), TO_THE_END).limiting == "anion"


def test_shares_that_are_missing_are_assumed_and_noted() -> None:
    capacity = vessel_capacity(vessel(cation_total_eq_l=1.9, anion_total_eq_l=1.3))
    assert capacity.cation_eq == pytest.approx(76.0 * 0.55)
    assert capacity.basis == "assumed"
    assert [note.values["share"] for note in capacity.notes] == ["regenerated", "usable"]


def test_without_description_the_common_rating_is_taken() -> None:
    capacity = vessel_capacity(vessel())
    assert capacity.rated_eq == pytest.approx(41.0)
    assert keys(capacity.notes) == ["rating-assumed"]


@pytest.mark.parametrize(
    ("settings", "field"),
    [
        ({"rated_eq_l": 0.4, "cation_total_eq_l": 1.9, "anion_total_eq_l": 1.3}, "rated"),
        ({"rated_eq_l": 0.4, "anion_total_eq_l": 1.3}, "rated"),
        ({"cation_total_eq_l": 1.9}, "anion total"),
        ({"anion_total_eq_l": 1.3}, "cation total"),
        ({"resin_l": 0.0}, "resin"),
        ({"rated_eq_l": 0.0}, "rated"),
        ({"cation_total_eq_l": 0.0, "anion_total_eq_l": 1.3}, "cation total"),
    ],
)
def test_a_vessel_described_badly_is_refused(settings: dict[str, Any], field: str) -> None:
    with pytest.raises(FieldError, match="vessel 'V1'") as caught:
        check_vessel(vessel(**settings))
    assert caught.value.field == field
    assert caught.value.hint


@pytest.mark.parametrize(
    ("marks", "share", "noted"),
    [
        ([Endpoint("litres", 90.0)], 0.9, 0),
        ([Endpoint("litres", 90.0), Endpoint("conductivity", 5.0)], 0.9, 1),
        ([Endpoint("silica", 0.5)], 1.0, 1),
        ([Endpoint("litres", 120.0), Endpoint("silica", 0.5)], 1.0, 1),
        ([], 1.0, 0),
    ],
)
def test_the_earliest_mark_decides(marks: list[Endpoint], share: float, noted: int) -> None:
    run = run_by_rating(vessel(rated_eq_l=0.6), LOAD, Changeout(tuple(marks)))
    assert run.litres_to_change == pytest.approx(share * 10_000)
    assert keys(run.notes).count("mark-taken-at-exhaustion") == noted


@pytest.mark.parametrize("settings", [{}, {"cation_total_eq_l": 1.9, "anion_total_eq_l": 1.3}])
def test_a_water_without_load_never_ends_the_run(settings: dict[str, Any]) -> None:
    run = run_by_rating(vessel(**settings), Load(0.0, 0.0), TO_THE_END)
    assert run.litres_to_exhaustion is None
    assert run.litres_to_change is None
    assert "no-load" in keys(run.notes)


def test_a_side_without_load_does_not_end_the_run() -> None:
    totals = vessel(cation_total_eq_l=1.9, anion_total_eq_l=1.3)
    assert run_by_rating(totals, Load(0.0, 2.0), TO_THE_END).limiting == "anion"
    assert run_by_rating(totals, Load(2.0, 0.0), TO_THE_END).limiting == "cation"


@given(st.floats(0.01, 3.0), st.floats(1.0, 500.0), st.floats(0.001, 50.0))
def test_what_the_litres_carry_is_what_the_resin_takes(
    rated: float, resin: float, load: float
) -> None:
    run = run_by_rating(vessel(resin_l=resin, rated_eq_l=rated), Load(load, load / 2), TO_THE_END)
    assert run.litres_to_exhaustion is not None
    assert run.litres_to_exhaustion * run.load_meq_l / 1000 == pytest.approx(rated * resin)


def test_the_working_tells_whose_figures_it_uses() -> None:
    quoted = run_by_rating(vessel(rated_eq_l=0.4), LOAD, TO_THE_END).workings[0]
    assumed = run_by_rating(vessel(), LOAD, TO_THE_END).workings[0]
    assert (quoted.inputs[0].basis, assumed.inputs[0].basis) == ("quoted", "assumed")
    capacity, load = (float(str(given.value)) for given in quoted.inputs)
    assert quoted.result == pytest.approx(1000 * capacity / load)


def test_a_rating_without_an_end_is_noted() -> None:
    ended = vessel(rated_eq_l=0.4, rated_to=Endpoint("conductivity", 10.0))
    assert "rated-end-unknown" not in keys(run_by_rating(ended, LOAD, TO_THE_END).notes)
    endless = run_by_rating(vessel(rated_eq_l=0.4), LOAD, TO_THE_END)
    assert "rated-end-unknown" in keys(endless.notes)


@pytest.mark.parametrize("end", [Endpoint("litres", 90.0), Endpoint("conductivity", 0.0)])
def test_a_rated_run_ends_where_something_is_read(end: Endpoint) -> None:
    with pytest.raises(FieldError, match="does not end there"):
        check_vessel(Vessel("V1", "lead", 100.0, rated_eq_l=0.4, rated_to=end))
