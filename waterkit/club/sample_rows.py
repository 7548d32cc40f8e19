"""Samples written back as rows of water-tests.csv.

A value goes back as its sheet had it where the sample's notes still tell (below detection, another
reference temperature), else in a unit from which it is read without a digit lost.
"""

from collections.abc import Iterator
from dataclasses import replace

from waterkit.club.pen import written_as
from waterkit.club.places import measured_in
from waterkit.club.toml_text import number_text
from waterkit.errors import FieldError
from waterkit.water.ions import SPECIES
from waterkit.water.sample import TURBIDITY_UNITS, Sample, WaterTest, measure
from waterkit.working import Note

_UNITS = {
    "alkalinity": ("meq/L", ""),
    "hardness": ("mg/L", "CaCO3"),
    "pH": ("", ""),
    "temperature": ("degC", ""),
    "conductivity": ("uS/cm", "25 degC"),
    "turbidity": (TURBIDITY_UNITS[0], ""),
}


def rows_of(sample: Sample) -> Iterator[tuple[str, WaterTest]]:
    """Each analyte that a sample tells, with its row."""
    for analyte, value in measured_in(sample).items():
        unit, as_ = _UNITS.get(analyte, ("mmol/L" if analyte in SPECIES else "mg/L", ""))
        name = SPECIES[analyte].name if analyte in SPECIES else analyte
        core = WaterTest(
            sample.sample, sample.date, name, "", sample.source, sample.point, unit, as_
        )
        rows = [*_as_noted(sample, core), core]
        below = analyte in sample.below_detection
        written = [replace(row, value=row.value or value_text(row, value, below)) for row in rows]
        yield analyte, max(written, key=lambda row: _agrees(row, value, sample.notes))


def value_text(row: WaterTest, value: float, below: bool = False) -> str:
    """A value in core units as a row holds it, in the unit and basis of the row."""
    probe = 7.0  # a number that every analyte may have, pH too
    number = written_as(
        value, lambda number: _measured(row, number), value * probe / _measured(row, probe)
    )
    return f"<{number_text(2.0 * number)}" if below else number_text(number)


def _measured(row: WaterTest, number: float) -> float:
    return measure(replace(row, value=number_text(number))).value


def _as_noted(sample: Sample, core: WaterTest) -> Iterator[WaterTest]:
    """The rows that the sample's notes still tell of."""
    for note in sample.notes:
        told = note.values
        match note.key:
            case "below-detection" if told["analyte"] == core.analyte:
                limit = number_text(float(str(told["limit"])))
                below = replace(core, value=f"<{limit}", unit=str(told["unit"]))
                yield from (below, replace(below, as_=""))
            case "alkalinity-as-acid-capacity" if core.analyte == "alkalinity":
                yield replace(core, unit="mmol/L")
            case "conductivity-reference-assumed" if core.analyte == "conductivity":
                yield replace(core, as_="")
            case "conductivity-turned-to-25-degC" if core.analyte == "conductivity":
                yield replace(core, as_=f"{number_text(float(str(told['reference_c'])))} degC")


def _agrees(row: WaterTest, value: float, notes: tuple[Note, ...]) -> tuple[bool, int]:
    """Whether a row is read as the value, and how many of the sample's notes it gives again."""
    try:
        result = measure(row)
    except FieldError:
        return False, 0
    told = sum(1 if note in notes else -1 for note in result.notes)
    return result.value == value, told
