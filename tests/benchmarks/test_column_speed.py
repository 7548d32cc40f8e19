"""How fast the column is beside a general geochemistry engine, in one run on one machine."""

import time
from collections.abc import Callable

import numpy as np
import pytest

from tests.reference.column_curves import PORE_L, Run, column, runs
from waterkit.treatment.bed import Bed, FeedWater
from waterkit.treatment.column import run_column
from waterkit.treatment.points import crossing
from waterkit.treatment.selectivity import LOG_K

pytestmark = pytest.mark.slow

ONE_BED, MANY_BEDS, BEDS = 50.0, 1000.0, 500


def seconds(work: Callable[[], object], times: int = 1) -> float:
    """Processor time, the least of several: other work on the machine counts less in it."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


@pytest.fixture(scope="module")
def bed() -> Run:
    """A mixed bed of usual capacity in 20 cells on hard water, run to exhaustion."""
    return next(run for run in runs() if run.name == "full bed, together, 20")


@pytest.fixture(scope="module")
def engine_seconds(bed: Run) -> float:
    pytest.importorskip("phreeqc")
    found = {}

    def work() -> None:
        found.update(column(bed, LOG_K))

    taken = seconds(work)
    ours = run_column([mixed(bed)], feed(bed), litres=bed.litres)
    theirs = float(crossing(found["litres"], found["SiO2"], 0.1 / 60.083))
    assert float(crossing(ours.litres, ours.silica_mg_l, 0.1)) == pytest.approx(theirs, rel=0.01)
    return taken


def mixed(bed: Run) -> Bed:
    return Bed(bed.cation_eq, bed.anion_eq, PORE_L, bed.cells)


def feed(bed: Run) -> FeedWater:
    return FeedWater(bed.mmol_l, bed.temperature_c)


def test_one_bed(bed: Run, engine_seconds: float) -> None:
    ours = seconds(lambda: run_column([mixed(bed)], feed(bed), litres=bed.litres), times=3)
    print(f"one bed: {engine_seconds / ours:.0f} times, {ours:.3f} s")  # noqa: T201
    assert engine_seconds / ours > ONE_BED


def test_five_hundred_beds(bed: Run, engine_seconds: float) -> None:
    rng = np.random.default_rng(6)
    waters = {key: amount * rng.uniform(0.8, 1.25, BEDS) for key, amount in bed.mmol_l.items()}
    many = Bed(
        bed.cation_eq * rng.uniform(0.9, 1.1, BEDS), bed.anion_eq * rng.uniform(0.9, 1.1, BEDS),
        PORE_L, bed.cells,
    )  # fmt: skip
    water = FeedWater(waters, rng.uniform(5.0, 15.0, BEDS))
    ours = seconds(lambda: run_column([many], water, litres=bed.litres), times=3) / BEDS
    print(f"many beds: {engine_seconds / ours:.0f} times, {ours * 1000:.1f} ms a bed")  # noqa: T201
    assert engine_seconds / ours > MANY_BEDS


def test_cost_is_linear_in_cells_and_beds(bed: Run) -> None:
    def cost(cells: int, beds: int) -> float:
        water = FeedWater(
            {key: np.full(beds, amount) for key, amount in bed.mmol_l.items()}, bed.temperature_c
        )
        each = Bed(0.2 * bed.cation_eq, 0.2 * bed.anion_eq, PORE_L, cells)
        return seconds(lambda: run_column([each], water, litres=0.2 * bed.litres), times=3)

    # cells x steps: twice the cells are twice the parcels too
    assert cost(40, 200) < 1.5 * 4.0 * cost(20, 200)
    assert cost(20, 400) < 1.5 * 2.0 * cost(20, 200)
