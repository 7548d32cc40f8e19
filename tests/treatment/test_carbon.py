import pytest

from waterkit.treatment.carbon import Carbon, carbon_litres


def test_less_chlorine_more_litres() -> None:
    # rated at 1 mg/L: by definition
    assert carbon_litres(Carbon("carbon", 40_000.0, 1.0)).litres == 40_000.0
    assert carbon_litres(Carbon("carbon", 40_000.0, 0.5)).litres == 80_000.0


def test_the_working_leads_to_the_result() -> None:
    life = carbon_litres(Carbon("carbon", 30_000.0, 0.4))
    (working,) = life.workings
    rated, chlorine = (float(str(given.value)) for given in working.inputs)
    assert working.result == life.litres == pytest.approx(rated / chlorine)


def test_without_chlorine_the_calendar_decides() -> None:
    life = carbon_litres(Carbon("carbon", 40_000.0, 0.0))
    assert life.litres is None
    assert [note.key for note in life.notes] == ["carbon-by-calendar"]


def test_the_litres_are_told() -> None:
    notes = {note.key: note for note in carbon_litres(Carbon("carbon", 40_000.0, 0.5)).notes}
    assert notes["carbon-lasts"].values == {"litres": 80_000.0, "mg_l": 0.5}


def test_the_chlorine_of_the_sample_counts_where_the_filter_tells_none() -> None:
    life = carbon_litres(Carbon("carbon"), sampled_mg_l=0.8)
    assert life.litres == pytest.approx(40_000.0 / 0.8)
    assert [note.key for note in life.notes] == ["chlorine-of-the-sample", "carbon-lasts"]
    assert life.workings[0].inputs[1].basis == "measured"


def test_a_default_is_not_called_quoted() -> None:
    default, told = (
        carbon_litres(Carbon("carbon", litres, 0.5), "train.2").workings[0].inputs[0]
        for litres in (40_000.0, 30_000.0)
    )
    assert (default.basis, told.basis) == ("assumed", "quoted")
    assert default.path == "train.2.litres"
