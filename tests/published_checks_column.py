"""Checks of published columns: each works out what a case expects from its inputs."""

from typing import TYPE_CHECKING

import numpy as np

from waterkit import units
from waterkit.treatment.bed import Bed, FeedWater
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.column import run_column
from waterkit.treatment.points import crossing
from waterkit.treatment.selectivity import Selectivity

if TYPE_CHECKING:
    from tests.test_published import Answers, Case

PORE_VOLUMES = 2.5


def _exchanger(case: "Case") -> tuple[ColumnRun, float]:
    """The run of a cation exchanger without hydrogen ion, one cell volume a step, and its pores."""
    cells = int(units.parse_number(case.inputs["cells"]))
    log_k = {key: units.parse_number(text) for key, text in case.inputs["log_k"].items()}
    standing = case.table("standing", "mmol/L")
    # Gaines and Thomas by hand: K = K_K fraction of Na x c_K / (fraction of K x c_Na)
    ratio = 10.0 ** log_k["K"] * standing["K"] / standing["Na"]
    capacity_eq = case.quantity("exchanger", "mmol/L") * cells / 1000.0
    form = {"K": ratio / (1.0 + ratio), "Na": 1.0 / (1.0 + ratio)}
    run = run_column(
        [Bed(capacity_eq, 0.0, float(cells), cells, cation_form=form)],
        FeedWater(case.table("feed", "mmol/L"), 25.0),
        litres=PORE_VOLUMES * cells,
        parcel_cells=1.0,
        standing=FeedWater(standing, 25.0),
        resins=Selectivity(log_k, takes_hydrogen=False),
    )
    return run, float(cells)


def check_exchanger_column(case: "Case") -> "Answers":
    """What leaves at printed pore volumes."""
    run, pore_l = _exchanger(case)
    found = {}
    for name in case.expected:
        pores, ion = name.split()
        place = int(np.argmin(np.abs(run.litres / pore_l - float(pores))))
        found[name] = (float(run.mmol_l[ion][place]), "mmol/L")
    return found


def check_exchanger_fronts(case: "Case") -> "Answers":
    """Pore volumes at which half of each ion has left, or come."""
    run, pore_l = _exchanger(case)
    half = {ion: amount / 2.0 for ion, amount in case.table("standing", "mmol/L").items()}
    lost = 1.0 / (run.mmol_l["Na"] + 1e-9)
    both = run.mmol_l["Ca"]
    return {
        "sodium": float(crossing(run.litres, lost, 1.0 / half["Na"])) / pore_l,
        "potassium": float(crossing(run.litres, both, 0.3)) / pore_l,
        "chloride": float(crossing(run.litres, run.mmol_l["Cl"], 0.6)) / pore_l,
    }
