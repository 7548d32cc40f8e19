"""What PHREEQC makes of the waters in ``waters.csv``: writes ``phreeqc-waters.csv``.

``python -m tests.reference.phreeqc_waters`` makes both files anew: the published waters below, and
waters made by chance from a fixed seed, from nearly pure to the concentrate of a reverse osmosis,
and two waters of much sulfate.
PHREEQC version 3 (public domain, U.S. Geological Survey) comes from the package ``phreeqc``; the
head of the results names package, engine, database and its checksum. Concentrations are mmol/kgw.
"""

import csv
import hashlib
import io
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).parent
WATERS, RESULTS = HERE / "waters.csv", HERE / "phreeqc-waters.csv"
DATABASE = "phreeqc.dat"
IONS = ("Ca", "Mg", "Na", "K", "NH4", "Cl", "SO4", "NO3", "F", "SiO2")
COLUMNS = ("water", "origin", "temperature_c", "ph", "alkalinity_meq_l", "co2_ppm", *IONS)
ANSWERS = (
    "ionic_strength_mol_l", "co2_mmol_l", "conductivity_us_cm", "conductivity_25_us_cm",
    "si_calcite", "si_gypsum", "si_silica", "open_ph", "open_conductivity_us_cm",
)  # fmt: skip
ELEMENTS = {"NH4": "Amm", "NO3": "Nit", "SO4": "S(6)", "SiO2": "Si"}
CHARGES = {"Ca": 2, "Mg": 2, "Na": 1, "K": 1, "NH4": 1, "Cl": -1, "SO4": -2, "NO3": -1, "F": -1}
MG_PER_MMOL = {
    "Ca": 40.078, "Mg": 24.305, "Na": 22.990, "K": 39.098, "NH4": 18.039, "Cl": 35.45,
    "SO4": 96.056, "NO3": 62.004, "HCO3": 61.016,
}  # fmt: skip

# mg/L, pH, degC: P. J. Stuyfzand, 1987, table 3.1, waters 1, 2, 9 and 15; and the example of
# Standard Methods 2510 A (its pH is not told: 7.5 taken), as in tests/published.
PUBLISHED = {
    "stuyfzand 1": ({"Cl": 5.0, "HCO3": 38, "SO4": 0.9, "NO3": 1.5, "Na": 5.9, "K": 0.8, "Ca": 6.5,
                     "Mg": 2.6}, 7.60, 20.0),
    "stuyfzand 2": ({"Cl": 32, "HCO3": 171, "NO3": 0.1, "Na": 23.0, "K": 10.9, "Ca": 14.0,
                     "Mg": 21.0, "NH4": 0.4}, 7.91, 20.0),
    "stuyfzand 9": ({"Cl": 33, "HCO3": 307, "SO4": 1, "NO3": 0.1, "Na": 20.0, "K": 6.3, "Ca": 79.0,
                     "Mg": 7.9, "NH4": 2.3}, 7.34, 20.0),
    "stuyfzand 15": ({"Cl": 42, "HCO3": 185, "SO4": 63, "NO3": 69.5, "Na": 26.0, "K": 1.9,
                      "Ca": 101, "Mg": 5.0, "NH4": 0.1}, 7.57, 20.0),
    "standard methods 2510": ({"Ca": 55, "Mg": 12, "Na": 28, "K": 3.2, "HCO3": 170, "SO4": 77,
                               "Cl": 20}, 7.5, 25.0),
}  # fmt: skip
# mmol/L, alkalinity, pH, degC: waters of much calcium or magnesium sulfate, in which most of the
# difference between the models of conductivity lies. Invented.
SULFATE = {
    "calcium sulfate": ({"Ca": 10.0, "Mg": 5.0, "Na": 2.0, "K": 0.1, "Cl": 0.1, "SO4": 14.5,
                         "SiO2": 0.3}, 3.0, 7.2, 10.0),
    "magnesium sulfate": ({"Ca": 1.0, "Mg": 15.0, "Na": 1.0, "Cl": 1.0, "SO4": 15.0, "SiO2": 0.3},
                          2.0, 7.5, 30.0),
}  # fmt: skip
GENERATED, SEED = 55, 20


def generated(count: int, seed: int) -> list[dict[str, object]]:
    """Waters made by chance, balanced by sodium or chloride, 2 to 30 degC."""
    rng = np.random.default_rng(seed)
    waters = []
    for number in range(count):
        size = 10 ** rng.uniform(-1.3, 1.1)  # mmol/L of the largest ion
        water = {ion: float(size * rng.uniform(0.02, 1.0)) for ion in IONS[:9]}
        water["SO4"] *= 0.6
        water |= {
            ion: min(water[ion], top)
            for ion, top in (("NH4", 0.05), ("F", 0.1), ("NO3", 1.0), ("K", 1.0))
        }
        alkalinity = float(max(size * rng.uniform(0.1, 1.5), 0.1))
        excess = sum(CHARGES[ion] * water[ion] for ion in IONS[:9]) - alkalinity
        water["Cl" if excess > 0 else "Na"] += abs(excess)
        water["SiO2"] = float(rng.uniform(0.02, 0.6))
        row: dict[str, object] = {
            "water": f"made {number + 1}",
            "origin": f"made by chance, seed {seed}",
            "temperature_c": round(float(rng.uniform(2.0, 30.0)), 1),
            "ph": round(float(rng.uniform(6.3, 8.6)), 2),
            "alkalinity_meq_l": f"{alkalinity:.5g}",
            "co2_ppm": (420, 1000)[number % 2],
        }
        waters.append(row | {ion: f"{amount:.5g}" for ion, amount in water.items()})
    return waters


def published() -> list[dict[str, object]]:
    """The published waters, in mmol/L."""
    rows = []
    for name, (mg_l, ph, celsius) in PUBLISHED.items():
        amounts = {ion: mass / MG_PER_MMOL[ion] for ion, mass in mg_l.items()}
        row: dict[str, object] = {
            "water": name, "origin": "published", "temperature_c": celsius, "ph": ph,
            "alkalinity_meq_l": f"{amounts['HCO3']:.5g}", "co2_ppm": 420,
        }  # fmt: skip
        rows.append(row | {ion: f"{amounts.get(ion, 0.0):.5g}" for ion in IONS})
    return rows


def sulfate() -> list[dict[str, object]]:
    """The waters of much sulfate."""
    return [
        {"water": name, "origin": "of much sulfate", "temperature_c": celsius, "ph": ph,
         "alkalinity_meq_l": alkalinity, "co2_ppm": 420}
        | {ion: amounts.get(ion, 0) for ion in IONS}
        for name, (amounts, alkalinity, ph, celsius) in SULFATE.items()
    ]  # fmt: skip


def solution(number: int, water: Mapping[str, object]) -> str:
    """The input of one water."""
    lines = [f"{ELEMENTS.get(ion, ion)} {water[ion]}" for ion in IONS if float(str(water[ion]))]
    return "\n".join([
        f"SOLUTION {number}", "units mmol/kgw", f"temp {water['temperature_c']}",
        f"pH {water['ph']}", f"Alkalinity {water['alkalinity_meq_l']}", *lines, "END",
    ])  # fmt: skip


# Ammonium and nitrate as elements of their own, so that no reaction turns one into the other;
# figures as the database has them for N(-3) and N(5).
APART = """SOLUTION_MASTER_SPECIES
Amm AmmH+ 0 17.031 17.031
Nit Nit- 0 62.0049 62.0049
SOLUTION_SPECIES
AmmH+ = AmmH+
-gamma 2.5 0
-dw 1.98e-9 203 1.47 2.644 6.81e-2
AmmH+ = Amm + H+
-log_k -9.252
-analytic 0.6322 -0.001225 -2835.76
-dw 2.28e-9
AmmH+ + SO4-2 = AmmHSO4-
-gamma 2.08 -0.0416
-log_k 1.211
-delta_h 8.56 kJ
-dw 0.9e-9 100 2.1 2 0
Nit- = Nit-
-gamma 3 0
-dw 1.9e-9 104 1.11
END
"""
PUNCH = """SELECTED_OUTPUT 1
-reset false
-high_precision true
USER_PUNCH 1
-headings mu co2 sc calcite gypsum silica ph
10 PUNCH MU, MOL("CO2") * 1000, SC, SI("Calcite"), SI("Gypsum"), SI("SiO2(a)"), -LA("H+")
"""


def run(waters: Sequence[Mapping[str, object]]) -> list[dict[str, float]]:
    """PHREEQC's answers: as sampled, warmed to 25 degC closed, and open to air."""
    engine = new_engine()
    answers = []
    for water in waters:
        first = _run(engine, PUNCH + solution(1, water))
        warm = _run(engine, "USE solution 1\nREACTION_TEMPERATURE\n25\nEND")
        pressure = np.log10(float(str(water["co2_ppm"])) * 1e-6)
        # the reaction temperature of the step before would stay: it is set back
        air = _run(
            engine,
            f"USE solution 1\nREACTION_TEMPERATURE\n{water['temperature_c']}\n"
            f"EQUILIBRIUM_PHASES 1\nCO2(g) {pressure:.6f} 10\nEND",
        )
        values = (*first[:3], warm[2], *first[3:6], air[6], air[2])
        answers.append(dict(zip(ANSWERS, values, strict=True)))
    return answers


def new_engine() -> Any:
    """A PHREEQC with its database."""
    from phreeqc import Phreeqc

    engine = Phreeqc()
    engine.LoadBuiltInDatabase(DATABASE)
    engine.RunString(APART)
    return engine


def _run(engine: Any, text: str) -> list[float]:
    """The last row of what an input punches."""
    if engine.RunString(text):
        raise SystemExit(engine.GetErrorString())
    return [float(column[-1]) for column in engine.GetSelectedOutput().values()]


def told() -> list[str]:
    """Which engine and database made the results."""
    import phreeqc

    database = Path(phreeqc.__file__).parent / "databases" / DATABASE
    checksum = hashlib.md5(database.read_bytes(), usedforsecurity=False).hexdigest()
    return [
        "made by tests/reference/phreeqc_waters.py",
        f"package phreeqc {version('phreeqc')}, engine {phreeqc.Phreeqc.GetVersionString()}",
        f"database {DATABASE}, md5 {checksum}",
    ]


def read(path: Path) -> list[dict[str, str]]:
    """The rows of one of the two files."""
    lines = path.read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def write(path: Path, head: Iterable[str], columns: Sequence[str],
          rows: Iterable[Mapping[str, object]]) -> None:  # fmt: skip
    """Write one of the two files, its origin above it."""
    out = io.StringIO()
    for line in head:
        out.write(f"# {line}\n")
    table = csv.DictWriter(out, columns, lineterminator="\n")
    table.writeheader()
    table.writerows(rows)
    path.write_text(out.getvalue(), "utf-8")


def main() -> None:
    """Write both files."""
    head = told()
    write(WATERS, head[:1], COLUMNS, [*published(), *generated(GENERATED, SEED), *sulfate()])
    waters = read(WATERS)
    rows = [
        {"water": water["water"], **{key: f"{value:.6g}" for key, value in answer.items()}}
        for water, answer in zip(waters, run(waters), strict=True)
    ]
    write(RESULTS, head, ("water", *ANSWERS), rows)


if __name__ == "__main__":
    main()
