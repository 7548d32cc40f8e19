import pytest

from waterkit.treatment.carbon import carbon_litres
from waterkit.treatment.train import Carbon


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
