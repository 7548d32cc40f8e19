"""Two rows of one sheet that say different things of the same water."""

from collections.abc import Iterator
from dataclasses import dataclass

from waterkit.water.bases import HYDROGEN_CARBONATE
from waterkit.water.completion import Completed
from waterkit.water.ions import CACO3_G_MOL, SPECIES
from waterkit.water.measured import measured_of
from waterkit.water.sample import Sample
from waterkit.water.speciation import speciate

# Common practice, no source.
OFF_PERCENT = 10.0
_OFF_HARDNESS_MG_L, _OFF_ALKALINITY_MEQ_L, _OFF_CO2_MG_L = 5.0, 0.1, 5.0
OFF_CO2 = 2.0
"""Times that two figures of carbon dioxide may differ: pH read 0.3 off does as much."""
# mg/L as CaCO3 of one degree of hardness, by definition: 10 mg CaO, 10 mg CaCO3 in a litre, a grain
# in an imperial or US gallon.
_DEGREES = {
    "German degrees": 17.85, "French degrees": 10.0, "English degrees": 14.25,
    "grains in a US gallon": 17.12, "mmol/L": 100.1, "meq/L": 50.04,
}  # fmt: skip
_NEAR = 0.05


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Something in a sample that is hard to believe, with its likely cause; it is reckoned with."""

    analyte: str
    message: str
    hint: str


def contradictions(sample: Sample, completed: Completed) -> tuple[Suspicion, ...]:
    """Rows of one sample that contradict each other, by more than 10 %.

    Hardness and calcium with magnesium; alkalinity and the ions that make it; carbon dioxide and
    what pH and alkalinity ask for, there by more than a factor of two.

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    completed : Completed
        The same sample completed.

    Returns
    -------
    tuple of Suspicion
        One for each pair that does not agree, with its likely cause.

    References
    ----------
    Common practice, no source.
    """
    return (*_of_hardness(sample), *_of_alkalinity(sample), *_of_co2(sample, completed))


def _of_hardness(sample: Sample) -> Iterator[Suspicion]:
    told = sample.hardness_mg_l_caco3
    known = [key for key in ("Ca", "Mg") if key in sample.mmol_l]
    if told is None or not known:
        return
    made = CACO3_G_MOL * sum(sample.mmol_l[key] for key in known)
    whole = len(known) == len(("Ca", "Mg"))
    off = abs(told - made) if whole else made - told
    if off <= max(OFF_PERCENT / 100.0 * made, _OFF_HARDNESS_MG_L):
        return
    names = " and ".join(SPECIES[key].name for key in known)
    message = (
        f"a hardness of {told:g} mg/L as CaCO3 does not go with {names}: {made:.0f} mg/L as CaCO3"
    )
    cause = "one of them is in another unit or basis, or of another day"
    near = [(abs(told * f / made - 1.0), name) for name, f in _DEGREES.items()] if told else []
    if near and min(near)[0] < _NEAR:
        cause = f"it looks like {min(near)[1]}, not mg/L as CaCO3"
    yield Suspicion("hardness", message, cause)


def _of_alkalinity(sample: Sample) -> Iterator[Suspicion]:
    told, ions = sample.alkalinity_meq_l, sample.mmol_l
    if told is None or "HCO3" not in ions:
        return
    made = ions["HCO3"] + 2.0 * ions.get("CO3", 0.0) + ions.get("OH", 0.0)
    if abs(told - made) <= max(OFF_PERCENT / 100.0 * made, _OFF_ALKALINITY_MEQ_L):
        return
    message = f"an alkalinity of {told:.2f} meq/L does not go with bicarbonate: {made:.2f} meq/L"
    cause = "one of them is in another unit or basis"
    if made and abs(told / made / HYDROGEN_CARBONATE - 1.0) < _NEAR:
        cause = (
            "one figure stands for both: bicarbonate may be counted as CaCO3, or alkalinity as HCO3"
        )
    yield Suspicion("alkalinity", message, cause)


def _of_co2(sample: Sample, completed: Completed) -> Iterator[Suspicion]:
    measured, told = measured_of(sample, 10.0), sample.mmol_l.get("CO2")
    if told is None or sample.ph is None or measured.alkalinity_meq_l is None:
        return
    water, mass = completed.water, SPECIES["CO2"].molar_mass_g_mol
    ions = {key: amount for key, amount in water.mmol_l.items() if key in SPECIES}
    there = speciate(ions, measured.alkalinity_meq_l, water.temperature_c, ph=sample.ph)
    made, told = float(there.co2_mmol_l) * mass, told * mass
    if abs(told - made) <= _OFF_CO2_MG_L or made / OFF_CO2 <= told <= made * OFF_CO2:
        return
    message = f"{told:.0f} mg/L of carbon dioxide do not go with pH {sample.ph:g}: {made:.0f} mg/L"
    cause = "it leaves an open bottle: measure pH and carbon dioxide at the tap, at one time"
    yield Suspicion("CO2", message, cause)
