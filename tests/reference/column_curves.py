"""What PHREEQC makes of beds run to exhaustion: writes ``column-curves.csv``.

``python -m tests.reference.column_curves`` makes the file anew (some twenty minutes on one core).
The beds are cells with a cation and an anion exchanger in equilibrium with the water that moves
through them one cell volume a shift. Litres are what has left the bed, the water that stood in its
pores counted, up to the middle of each shift. Conductivity is at 25 degC: the water that left, kept
closed and warmed. Of each curve the points are kept between which something changes.
"""

import sys
from collections.abc import Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.reference.phreeqc_waters import new_engine, read, told, write

Array = NDArray[np.float64]

CURVES = Path(__file__).parent / "column-curves.csv"
COLUMNS = ("run", "litres", "conductivity_25_us_cm", "silica_mg_l", "ph", "Na", "C", "Cl")
KEPT = 140
# The database gives silicate no diffusion coefficient, so that it would not conduct: the one that
# goes with 35 S cm2/mol.
SILICATE = """SOLUTION_SPECIES
H4SiO4 = H3SiO4- + H+
-log_k -9.83
-delta_h 6.12 kcal
-analytic -302.3724 -0.050698 15669.69 108.18466 -1119669
-gamma 4 0
-dw 0.932e-9"""
PORE_L, SIO2_G_MOL = 0.4, 60.083
ELEMENTS = {"NH4": "Amm", "NO3": "Nit", "SO4": "S(6)", "SiO2": "Si"}
EXCHANGED = {
    "Na": "Na+", "K": "K+", "NH4": "AmmH+", "Ca": "Ca+2", "Mg": "Mg+2", "Cl": "Cl-",
    "SO4": "SO4-2", "NO3": "Nit-", "F": "F-", "C": "HCO3-", "SiO2": "H3SiO4-",
}  # fmt: skip
CATIONS = {"Na": 1, "K": 1, "NH4": 1, "Ca": 2, "Mg": 2}
ANIONS = {"Cl": 1, "SO4": 2, "NO3": 1, "F": 1, "C": 1, "SiO2": 1}

# mmol/L and degC, invented; what cations have more than strong anions is alkalinity.
# fmt: off
FEEDS: dict[str, tuple[dict[str, float], float]] = {
    "hard well": ({"Na": 1.2, "K": 0.08, "NH4": 0.01, "Ca": 2.4, "Mg": 1.0, "Cl": 1.5, "NO3": 0.3,
                   "SO4": 0.6, "F": 0.01, "C": 5.8, "SiO2": 0.3}, 10.0),
    "surface": ({"Na": 0.5, "K": 0.05, "Ca": 0.7, "Mg": 0.25, "Cl": 0.55, "NO3": 0.05, "SO4": 0.25,
                 "F": 0.005, "C": 1.45, "SiO2": 0.08}, 6.0),
    "softened": ({"Na": 8.1, "K": 0.05, "Cl": 1.5, "SO4": 0.6, "NO3": 0.3, "C": 5.7, "SiO2": 0.3},
                 10.0),
    "permeate": ({"Na": 0.12, "K": 0.01, "Ca": 0.01, "Mg": 0.005, "Cl": 0.05, "NO3": 0.02,
                  "SO4": 0.002, "C": 0.09, "SiO2": 0.03}, 10.0),
    "permeate with carbon dioxide": ({"Na": 0.12, "K": 0.01, "Ca": 0.01, "Mg": 0.005, "Cl": 0.05,
                                      "NO3": 0.02, "SO4": 0.002, "C": 0.55, "SiO2": 0.03}, 10.0),
    "silica-rich": ({"Na": 1.5, "K": 0.1, "Ca": 0.8, "Mg": 0.5, "Cl": 0.9, "SO4": 0.2, "C": 3.2,
                     "SiO2": 1.1}, 14.0),
    "high nitrate": ({"Na": 1.0, "K": 0.1, "Ca": 2.6, "Mg": 0.7, "Cl": 1.6, "NO3": 1.6, "SO4": 0.7,
                      "C": 3.6, "SiO2": 0.25}, 11.0),
    "sodium bicarbonate": ({"Na": 6.2, "K": 0.05, "Ca": 0.1, "Mg": 0.05, "Cl": 0.8, "SO4": 0.2,
                            "F": 0.08, "C": 5.5, "SiO2": 0.35}, 15.0),
    "low-alkalinity chloride": ({"Na": 1.4, "K": 0.05, "Ca": 0.35, "Mg": 0.2, "Cl": 1.8,
                                 "NO3": 0.1, "SO4": 0.2, "C": 0.45, "SiO2": 0.12}, 8.0),
    "gypsum": ({"Na": 1.0, "K": 0.1, "Ca": 4.0, "Mg": 1.5, "Cl": 1.0, "SO4": 3.6, "C": 4.6,
                "SiO2": 0.25}, 10.0),
    "ammonium and fluoride": ({"Na": 2.2, "K": 0.2, "NH4": 0.12, "Ca": 1.2, "Mg": 0.6, "Cl": 1.0,
                               "F": 0.12, "SO4": 0.3, "C": 4.9, "SiO2": 0.4}, 12.0),
    "very soft": ({"Na": 0.15, "K": 0.02, "Ca": 0.12, "Mg": 0.04, "Cl": 0.12, "SO4": 0.04,
                   "NO3": 0.02, "C": 0.3, "SiO2": 0.1}, 4.0),
    "hard and warm": ({"Na": 2.0, "K": 0.1, "Ca": 2.0, "Mg": 1.2, "Cl": 2.2, "NO3": 0.2, "SO4": 1.0,
                       "C": 4.6, "SiO2": 0.4}, 25.0),
}
# What each resin can take, in runs of the smaller one.
ORDERS = {"anion": (1.35, 1.0), "together": (1.02, 1.0), "cation": (1.0, 1.35)}
IN_ALL_ORDERS = ("hard well", "permeate with carbon dioxide", "low-alkalinity chloride")
PORE_VOLUMES = 40.0
FULL_BEDS = {"anion": (0.95, 0.65), "together": (0.76, 0.78), "cation": (0.57, 0.91)}
# fmt: on


@dataclass(frozen=True)
class Run:
    """One bed and the water that runs through it."""

    name: str
    feed: str
    cation_eq: float
    anion_eq: float
    cells: int
    litres: float

    @property
    def mmol_l(self) -> Mapping[str, float]:
        """The feed."""
        return FEEDS[self.feed][0]

    @property
    def temperature_c(self) -> float:
        """Temperature of the feed."""
        return FEEDS[self.feed][1]


def runs() -> Iterator[Run]:
    """Small beds of every order on every feed, and beds of usual capacity on the hard well."""
    for place, (feed, (mmol_l, _)) in enumerate(FEEDS.items()):
        cations = sum(z * mmol_l.get(ion, 0.0) for ion, z in CATIONS.items())
        anions = sum(z * mmol_l.get(ion, 0.0) for ion, z in ANIONS.items())
        size = PORE_VOLUMES * PORE_L / 1000.0
        orders = list(ORDERS) if feed in IN_ALL_ORDERS else [list(ORDERS)[place % 3]]
        for order in orders:
            more, less = ORDERS[order]
            cation_eq, anion_eq = round(more * cations * size, 5), round(less * anions * size, 5)
            for cells in (10, 20, 40):
                name = f"{feed}, {order}, {cells}"
                yield Run(name, feed, cation_eq, anion_eq, cells, 1.5 * PORE_VOLUMES * PORE_L)
    for order, (cation_eq, anion_eq) in FULL_BEDS.items():
        for cells in (10, 20):
            yield Run(f"full bed, {order}, {cells}", "hard well", cation_eq, anion_eq, cells, 125.0)


def exchangers(log_k: Mapping[str, float]) -> str:
    """Both resins and their half reactions."""
    lines = ["EXCHANGE_MASTER_SPECIES", "Xc Xc-", "Ya Ya+", "EXCHANGE_SPECIES"]
    reactions = [("Xc- = Xc-", 0.0), ("Ya+ = Ya+", 0.0), ("H+ + Xc- = HXc", 0.0),
                 ("OH- + Ya+ = YaOH", 0.0)]  # fmt: skip
    for key, value in log_k.items():
        ion = EXCHANGED[key]
        bare, sites = ion.rstrip("0123456789").rstrip("+-"), "2" if ion[-1] == "2" else ""
        held = f"{bare}Xc{sites}" if "+" in ion else f"Ya{sites}{bare}"
        reactions.append((f"{ion} + {sites}{'Xc-' if '+' in ion else 'Ya+'} = {held}", value))
    return "\n".join([*lines, *(f"{text}\n-log_k {value}" for text, value in reactions), "END"])


def column(run: Run, log_k: Mapping[str, float]) -> dict[str, Array]:
    """Everything that PHREEQC tells of one run, each shift."""
    keys, water = list(run.mmol_l), PORE_L / run.cells
    feed = [f"{ELEMENTS.get(key, key)} {amount}" for key, amount in run.mmol_l.items()]
    punch = [
        f'{20 + place} PUNCH TOT("{ELEMENTS.get(key, key)}") * 1000' for place, key in
        enumerate(keys)
    ]  # fmt: skip
    text = "\n".join([
        "SOLUTION 0", "units mmol/kgw", f"temp {run.temperature_c}", "pH 7 charge",
        f"-water {water}", *feed,
        f"SOLUTION 1-{run.cells}", f"temp {run.temperature_c}", "pH 7", f"-water {water}",
        f"EXCHANGE 1-{run.cells}", f"HXc {run.cation_eq / run.cells}",
        f"YaOH {run.anion_eq / run.cells}", "END",
        "SELECTED_OUTPUT 1", "-reset false", "-high_precision true",
        "USER_PUNCH 1", f"-headings ph {' '.join(keys)}", "-start", '10 PUNCH -LA("H+")', *punch,
        "-end", "ADVECTION", f"-cells {run.cells}", f"-shifts {round(run.litres / water)}",
        f"-punch_cells {run.cells}", "-print_cells 1", "-print_frequency 1000000", "END",
    ])  # fmt: skip
    engine = new_engine()
    for part in (exchangers(log_k), text):
        if engine.RunString(part):
            raise SystemExit(engine.GetErrorString())
    found = {key: np.asarray(value, float) for key, value in engine.GetSelectedOutput().items()}
    return found | {"litres": (np.arange(len(found["ph"])) + 0.5) * water}


def kept(found: Mapping[str, Array], keys: list[str]) -> NDArray[np.int_]:
    """The shifts between which something changes, and some of all the others."""
    values = np.array([found[key] for key in keys])
    top = values.max(axis=1, keepdims=True)
    change = np.abs(np.diff(np.log(values + 1e-5 * top + 1e-6), axis=1)).sum(axis=0)
    way = np.concatenate([[0.0], np.cumsum(change / change.sum() + 0.5 / change.size)])
    return np.unique(np.searchsorted(way, np.linspace(0.0, way[-1], KEPT)).clip(0, way.size - 1))


def warmed(found: Mapping[str, Array], keys: list[str]) -> Array:
    """Conductivity at 25 degC of the same waters, kept closed."""
    engine = new_engine()
    head = [SILICATE, "SELECTED_OUTPUT 1", "-reset false", "USER_PUNCH 1", "-headings sc"]
    head += ["10 PUNCH SC"]
    if engine.RunString("\n".join([*head, "END"])):
        raise SystemExit(engine.GetErrorString())
    values = []
    for row in range(len(found["ph"])):
        amounts = [
            f"{ELEMENTS.get(key, key)} {found[key][row]:.9g}"
            for key in keys
            if found[key][row] > 1e-13
        ]
        text = ["SOLUTION 1", "units mmol/kgw", "temp 25", f"pH {found['ph'][row]} charge"]
        if engine.RunString("\n".join([*text, *amounts, "END"])):
            raise SystemExit(engine.GetErrorString())
        values.append(float(engine.GetSelectedOutput()["sc"][-1]))
    return np.array(values)


def record(run: Run, log_k: Mapping[str, float]) -> list[dict[str, str]]:
    """The curve of one run, thinned."""
    everything, keys = column(run, log_k), list(run.mmol_l)
    places = kept(everything, keys)
    found = {key: value[places] for key, value in everything.items()}
    table = {
        "litres": found["litres"],
        "conductivity_25_us_cm": warmed(found, keys),
        "silica_mg_l": found["SiO2"] * SIO2_G_MOL,
        "ph": found["ph"],
        "Na": found["Na"],
        "C": found["C"],
        "Cl": found["Cl"],
    }
    return [
        {"run": run.name} | {key: f"{value[row]:.5g}" for key, value in table.items()}
        for row in range(len(places))
    ]


def recorded() -> dict[str, dict[str, Array]]:
    """The curves of the file, by run."""
    curves: dict[str, list[dict[str, str]]] = {}
    for row in read(CURVES):
        curves.setdefault(row["run"], []).append(row)
    return {
        name: {key: np.array([float(row[key]) for row in rows]) for key in COLUMNS[1:]}
        for name, rows in curves.items()
    }


def main(workers: int = 1) -> None:
    """Write the curves."""
    from waterkit.treatment.selectivity import LOG_K

    todo = sorted(runs(), key=lambda run: -run.cells)
    with ProcessPoolExecutor(workers) as pool:
        found = dict(zip([run.name for run in todo],
                         pool.map(record, todo, [LOG_K] * len(todo)), strict=True))  # fmt: skip
    head = [line.replace("phreeqc_waters", "column_curves") for line in told()]
    constants = ", ".join(f"{key} {value:g}" for key, value in LOG_K.items())
    rows = [row for run in runs() for row in found[run.name]]
    write(CURVES, [*head, f"log K of the resins: {constants}"], COLUMNS, rows)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1)
