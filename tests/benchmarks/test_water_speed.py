"""Ten thousand analyses completed and checked, against the same by PHREEQC, in one run."""

import sys
import time
from collections.abc import Callable

import numpy as np
import pytest

from tests.reference.phreeqc_waters import IONS, PUNCH, generated, new_engine, solution
from waterkit.water.completion import Measured
from waterkit.water.many import analyse

WATERS, SAMPLED = 10_000, 2_000
LEAST = 50.0
"""How many times faster than PHREEQC, which speciates each water and warms it to 25 degC."""
ROUNDS = 5


def _seconds(work: Callable[[], object]) -> float:
    """Processor time, so that what other processes do does not count."""
    start = time.process_time()
    work()
    return time.process_time() - start


def _engine_seconds(rows: list[dict[str, object]]) -> float:
    """PHREEQC on a share of the waters, for all of them; loading its database does not count."""
    engine = new_engine()
    text = "\n".join(
        f"{solution(number, row)}\nUSE solution {number}\nREACTION_TEMPERATURE\n25\nEND"
        for number, row in enumerate(rows[:SAMPLED], 1)
    )
    seconds = _seconds(lambda: engine.RunString(PUNCH + text))
    answers = engine.GetSelectedOutput()
    assert all(len(column) == 2 * SAMPLED for column in answers.values())
    return seconds * WATERS / SAMPLED


@pytest.mark.slow
def test_ten_thousand_analyses(capsys: pytest.CaptureFixture[str]) -> None:
    rows = generated(WATERS, seed=7)
    columns = {
        key: np.array([float(str(row[key])) for row in rows]) for key in rows[0] if key in NUMBERS
    }
    # sodium and silica are left to completion
    told = {ion: columns[ion] for ion in IONS if ion not in ("Na", "SiO2")}
    measured = Measured(
        told, columns["alkalinity_meq_l"], None, columns["ph"], columns["temperature_c"],
        np.full(WATERS, 500.0),
    )  # fmt: skip
    found = analyse(measured)
    assert np.all(np.asarray(found.conductivity_25c_us_cm) > 0)
    assert found.balance_passed.shape == (WATERS,)
    ours = min(_seconds(lambda: analyse(measured)) for _ in range(ROUNDS))
    theirs = _engine_seconds(rows)
    with capsys.disabled():
        told_times = f"{ours:.3f} s, PHREEQC {theirs:.1f} s, {theirs / ours:.0f} x"
        sys.stdout.write(f"\n{WATERS} analyses: {told_times}\n")
    assert theirs / ours > LEAST


NUMBERS = ("temperature_c", "ph", "alkalinity_meq_l", *IONS)
