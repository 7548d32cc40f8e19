"""What a sheet does not tell, what that may do to the litres, which test is worth paying for."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from waterkit.water.completion import (
    ASSUMED_PH,
    ASSUMED_SILICA_MG_L,
    Completed,
    Measured,
    fill,
    measured_of,
)
from waterkit.water.composition import larger, load
from waterkit.water.ions import SPECIES
from waterkit.water.sample import Sample
from waterkit.working import Note

if TYPE_CHECKING:
    from collections.abc import Iterator

# Low and high of what is assumed: one water in ten lies below, one above (common practice, no
# source).
SILICA_MG_L = (5.0, 35.0)
PH = (6.8, 8.2)
MISSING_MG_L = {"SO4": (0.0, 60.0), "NO3": (0.0, 25.0), "K": (0.0, 6.0)}
SPREAD_OF_DIFFERENCE = 0.05
"""What is made up by charge carries the error of all that was measured: 5 % of the larger sum."""
SPREAD_OF_RULE = 0.15
"""A water guessed from its conductivity alone."""
WHOLE_ANALYSIS = "a whole analysis"
WORTH_PERCENT = 3.0
"""A test is worth paying for if the litres may move by more than this."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """One thing that was not measured, or not as one figure: its range and what that does.

    Parameters
    ----------
    analyte : str
        What was not measured.
    low, likely, high : float
        Its range, one case in ten beyond each end, and what is taken.
    unit : str
        Their unit.
    litres_at_low_percent, litres_at_high_percent : float
        How the litres of a fresh vessel would change if it were low or high [%].
    """

    analyte: str
    low: float
    likely: float
    high: float
    unit: str
    litres_at_low_percent: float
    litres_at_high_percent: float

    @property
    def effect_percent(self) -> float:
        """The larger of both changes [%]."""
        return max(abs(self.litres_at_low_percent), abs(self.litres_at_high_percent))


def unknowns(sample: Sample, temperature_c: float) -> tuple[Unknown, ...]:
    """What a sample leaves open, the one that may move the litres most first.

    litres at low = load taken / load at low - 1, by the larger of both loads

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    temperature_c : float
        Temperature of the supply, if the sample does not tell its own [degC].

    Returns
    -------
    tuple of Unknown
        One for each analyte that was assumed, or that was told as a range.

    Notes
    -----
    Each is moved by itself, the others as assumed; what makes up the charge follows.

    References
    ----------
    Ranges of what is assumed: common practice, no source.
    """
    measured = measured_of(sample, temperature_c)
    completed = fill(measured)
    found = [
        *_ranges(sample, measured, completed),
        *_assumed(measured, completed),
        *_by_difference(measured, completed),
    ]
    return tuple(sorted(found, key=lambda unknown: -unknown.effect_percent))


def worth_testing(found: tuple[Unknown, ...]) -> tuple[Note, ...]:
    """Which missing test is worth paying for: the one that may move the litres most.

    Parameters
    ----------
    found : tuple of Unknown
        From :func:`unknowns`.

    Returns
    -------
    tuple of Note
        One note, or none where nothing is missing.

    References
    ----------
    Common practice, no source.
    """
    if not found:
        return ()
    first = found[0]
    values = {
        "analyte": first.analyte,
        "low_percent": min(first.litres_at_low_percent, first.litres_at_high_percent),
        "high_percent": max(first.litres_at_low_percent, first.litres_at_high_percent),
    }
    worth = first.effect_percent > WORTH_PERCENT
    return (Note("test-worth-paying-for" if worth else "no-test-worth-paying-for", values),)


def _load_of(completed: Completed) -> float:
    return float(larger(load(completed.water)))


def _unknown(
    analyte: str,
    unit: str,
    likely: float,
    bounds: tuple[tuple[float, Completed], ...],
    taken: float,
) -> Unknown:
    (low, at_low), (high, at_high) = bounds
    percents = [
        100.0 * (taken / load_then - 1.0) if load_then > 0 else 0.0
        for load_then in (_load_of(at_low), _load_of(at_high))
    ]
    return Unknown(analyte, low, likely, high, unit, *percents)


def _moved(measured: Measured, key: str, value: float) -> Measured:
    """The same sheet with one analyte measured at another value."""
    if key == "pH":
        return replace(measured, ph=value)
    if key == "alkalinity":
        return replace(measured, alkalinity_meq_l=value)
    if key == "hardness":
        return replace(measured, hardness_mg_l=value)
    if key == "conductivity":
        return replace(measured, conductivity_us_cm=value)
    return replace(measured, mmol_l={**measured.mmol_l, key: value})


def _spread(
    measured: Measured, completed: Completed, key: str, unit: str,
    values: tuple[float, float, float], per_mmol: float = 1.0,
) -> Unknown:  # fmt: skip
    """An unknown whose bounds are completed as if they had been measured."""
    low, likely, high = values
    bounds = tuple((v, fill(_moved(measured, key, v / per_mmol))) for v in (low, high))
    return _unknown(key, unit, likely, bounds, _load_of(completed))


def _ranges(sample: Sample, measured: Measured, completed: Completed) -> "Iterator[Unknown]":
    """What the sheet tells as a range."""
    units = {"alkalinity": "meq/L", "hardness": "mg/L", "pH": "1", "conductivity": "uS/cm"}
    for key, (low, high) in sample.ranges.items():
        if key in SPECIES or key in units:
            values = (low, (low + high) / 2.0, high)
            yield _spread(measured, completed, key, units.get(key, "mmol/L"), values)


def _assumed(measured: Measured, completed: Completed) -> "Iterator[Unknown]":
    if "SiO2" not in measured.mmol_l:
        mass = SPECIES["SiO2"].molar_mass_g_mol
        values = (SILICA_MG_L[0], ASSUMED_SILICA_MG_L, SILICA_MG_L[1])
        yield _spread(measured, completed, "SiO2", "mg/L", values, mass)
    if measured.ph is None and not measured.mmol_l.get("CO2"):
        yield _spread(measured, completed, "pH", "1", (PH[0], ASSUMED_PH, PH[1]))
    told = {note.values.get("analyte") for note in completed.notes}
    guessed = "composition-from-conductivity" in {note.key for note in completed.notes}
    for key, (low, high) in MISSING_MG_L.items():
        if key not in measured.mmol_l and key not in told and not guessed:
            mass = SPECIES[key].molar_mass_g_mol
            yield _spread(measured, completed, key, "mg/L", (low, 0.0, high), mass)


def _by_difference(measured: Measured, completed: Completed) -> "Iterator[Unknown]":
    """What makes up the charge, and a water guessed from its conductivity."""
    larger_sum = float(load(completed.water).cation_meq_l)
    for note in completed.notes:
        if note.key == "by-charge-difference":
            key, meq_l = str(note.values["analyte"]), float(str(note.values["meq_l"]))
            off = SPREAD_OF_DIFFERENCE * larger_sum
            charge = abs(SPECIES[key].charge) if key in SPECIES else 1
            values = (max(meq_l - off, 0.0), meq_l, meq_l + off)
            yield _spread(measured, completed, key, "meq/L", values, charge)
        if note.key == "composition-from-conductivity":
            us_cm = float(str(note.values["us_cm"]))
            low, high = (us_cm * (1 + side * SPREAD_OF_RULE) for side in (-1, 1))
            found = _spread(measured, completed, "conductivity", "uS/cm", (low, us_cm, high))
            yield replace(found, analyte=WHOLE_ANALYSIS)
