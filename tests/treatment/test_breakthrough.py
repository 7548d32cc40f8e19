"""The column against recorded curves of PHREEQC: same cells, constants and feed."""

import sys

import numpy as np
import pytest

from tests.reference.column_curves import PORE_L, Array, Run, record, recorded, runs
from waterkit.treatment.bed import Bed, FeedWater
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.column import run_column
from waterkit.treatment.points import crossing
from waterkit.treatment.selectivity import LOG_K

CELLS = (10, 20, 40)
CONDUCTIVITY_MARKS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
SILICA_MARKS = (0.1, 0.5)
LITRES_WITHIN, PLATEAU_WITHIN, PLATEAU_BELOW = 0.01, 0.03, 50.0
WIDE, LEVEL = 0.006, 0.02
RECORDED = recorded()


def of(cells: int) -> list[Run]:
    return [run for run in runs() if run.cells == cells]


def ran(some: list[Run]) -> list[ColumnRun]:
    """All those beds at once."""
    keys = sorted({key for run in some for key in run.mmol_l})
    feed = FeedWater(
        {key: np.array([run.mmol_l.get(key, 0.0) for run in some]) for key in keys},
        np.array([run.temperature_c for run in some]),
    )
    bed = Bed(
        np.array([run.cation_eq for run in some]), np.array([run.anion_eq for run in some]), PORE_L,
        some[0].cells,
    )  # fmt: skip
    together = run_column([bed], feed, litres=np.array([run.litres for run in some]))
    return [together.bed(place) for place in range(len(some))]


@pytest.fixture(scope="module", params=CELLS)
def pairs(request: pytest.FixtureRequest) -> list[tuple[Run, ColumnRun]]:
    some = of(request.param)
    return list(zip(some, ran(some), strict=True))


def test_the_record_is_of_these_beds_and_constants() -> None:
    assert sorted(RECORDED) == sorted(run.name for run in runs())


def mark_misses(name: str, ours: ColumnRun, theirs: dict[str, Array]) -> list[tuple[object, ...]]:
    """Marks whose litres differ by more than they may."""
    misses: list[tuple[object, ...]] = []
    for key, values, marks in (
        ("conductivity_25_us_cm", ours.conductivity_25_us_cm, CONDUCTIVITY_MARKS),
        ("silica_mg_l", ours.silica_mg_l, SILICA_MARKS),
    ):
        for mark in marks:
            found = float(crossing(ours.litres, values, mark))
            wanted = float(crossing(theirs["litres"], theirs[key], mark))
            if np.isinf(wanted):  # neither of them passes it as far as the record goes
                if theirs[key][0] < mark and found < theirs["litres"][-1]:
                    misses.append((name, key, mark, found, wanted))
                continue
            if not abs(found / wanted - 1.0) <= LITRES_WITHIN:
                misses.append((name, key, mark, found, wanted))
    return misses


def plateau_misses(
    name: str, ours: ColumnRun, theirs: dict[str, Array]
) -> list[tuple[object, ...]]:
    """Points of a plateau of low conductivity where ours differs by more than it may.

    On a plateau the points before and after show the same within two hundredths, and neither is
    near: the foot and the shoulder of a front are no plateau.
    """
    misses: list[tuple[object, ...]] = []
    litres, values = theirs["litres"], theirs["conductivity_25_us_cm"]
    for place in plateau(litres, values):
        wanted = values[place]
        found = float(np.interp(litres[place], ours.litres, ours.conductivity_25_us_cm))
        if abs(found / wanted - 1.0) > PLATEAU_WITHIN:
            misses.append((name, litres[place], found, wanted))
    return misses


def plateau(litres: Array, values: Array) -> list[int]:
    """Which points stand on a plateau below 50 uS/cm."""
    return [
        place
        for place in range(1, len(litres) - 1)
        if values[place] < PLATEAU_BELOW
        and np.diff(litres[place - 1 : place + 2]).min() > WIDE * litres[-1]
        and np.ptp(np.log(values[place - 1 : place + 2])) < LEVEL
    ]


def test_there_are_plateaus_of_every_kind() -> None:
    heights = [
        curve["conductivity_25_us_cm"][place]
        for curve in RECORDED.values()
        for place in plateau(curve["litres"], curve["conductivity_25_us_cm"])
    ]
    counts, _ = np.histogram(heights, [0.05, 0.06, 0.1, 15.0, 30.0, 50.0])
    assert counts.min() >= 5, counts


def test_litres_to_every_mark(pairs: list[tuple[Run, ColumnRun]]) -> None:
    found = [
        miss for run, ours in pairs for miss in mark_misses(run.name, ours, RECORDED[run.name])
    ]
    assert found == []


def test_plateaus_of_low_conductivity(pairs: list[tuple[Run, ColumnRun]]) -> None:
    found = [
        miss for run, ours in pairs for miss in plateau_misses(run.name, ours, RECORDED[run.name])
    ]
    assert found == []


def test_silica_wave(pairs: list[tuple[Run, ColumnRun]]) -> None:
    for run, ours in pairs:
        theirs = RECORDED[run.name]
        within = ours.litres <= theirs["litres"][-1]
        top = int(theirs["silica_mg_l"].argmax())
        if top < len(theirs["litres"]) - 3:  # the wave is over before the run is
            peak = theirs["silica_mg_l"][top]
            # parcels round off the top of a narrow wave, not what is in it
            assert ours.silica_mg_l[within].max() == pytest.approx(peak, rel=0.15), run.name
            grams = np.trapezoid(theirs["silica_mg_l"], theirs["litres"])
            mine = np.interp(theirs["litres"][-1], ours.litres, _passed(ours))
            assert mine == pytest.approx(grams, rel=0.03), run.name


def _passed(run: ColumnRun) -> Array:
    """Silica that has left [mg]."""
    steps = np.diff(run.litres) * (run.silica_mg_l[1:] + run.silica_mg_l[:-1]) / 2.0
    return np.concatenate([[0.0], np.cumsum(steps)])


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="phreeqc has no wheel there")
@pytest.mark.parametrize("run", list(runs()), ids=lambda run: run.name)
def test_the_record_can_be_made_again(run: Run) -> None:
    pytest.importorskip("phreeqc")
    again, before = record(run, LOG_K), RECORDED[run.name]
    for key, values in before.items():
        found = np.array([float(row[key]) for row in again])
        assert found == pytest.approx(values, rel=1e-3, abs=1e-6), key
