"""What in a sample is hard to believe, with its likely cause; it is reckoned with all the same.

Here the whole sheet is looked at: conductivity, carbonate, charge. What two rows say of one thing
stands in :mod:`waterkit.water.contradictions`.
"""

from collections.abc import Iterator
from math import log10

from waterkit.water.bases import counted_anew
from waterkit.water.checks import balance_checks, has_majors
from waterkit.water.completion import Completed, fill
from waterkit.water.composition import conductivity_25, salts
from waterkit.water.contradictions import Suspicion, contradictions
from waterkit.water.ions import SPECIES, charge_sum_meq_l
from waterkit.water.measured import Measured, measured_of
from waterkit.water.sample import Sample
from waterkit.water.sums import anion_sum_meq_l, cation_sum_meq_l, charge_balance_error_percent
from waterkit.working import Note

__all__ = ["Suspicion", "doubt_notes", "suspicions"]

# How a conductivity is off that was copied in another unit: measured over calculated, as log10.
_MILLI = "it looks like mS/cm: write mS/cm in the column unit, or a figure 1000 times larger"
_PER_METRE = "it looks like mS/m: write mS/m in the column unit, or a figure 10 times larger"
_MICRO = "it looks 1000 times too large: is it uS/cm that was taken for mS/cm?"
_OTHER_UNITS = (
    (-3.0, 0.4, _MILLI),
    (-1.0, 0.25, _PER_METRE),
    (1.0, 0.25, "it looks 10 times too large: is it uS/cm that was taken for mS/m?"),
    (3.0, 0.4, _MICRO),
)
# Common practice, no source.
OFF_PERCENT, OFF_US_CM = 15.0, 20.0
"""A conductivity further off than by both is told, whatever the cause."""
SUPPLY_US_CM = (20.0, 150.0, 20_000.0)
"""No supply conducts less than the first, few less than the second, none more than the third."""
MOST_CO2_MG_L = 150.0
_LITTLE_MEQ_L = 0.1
_BALANCE_PERCENT, _BALANCE_MEQ_L, _VERY_OFF_PERCENT = 5.0, 0.4, 20.0
_OF_SUPPLY = ("feed", "softened")


def suspicions(sample: Sample) -> tuple[Suspicion, ...]:
    """What in a sample is hard to believe, each with its likely cause.

    Two rows that contradict each other; a conductivity that does not go with what is dissolved, or
    that no supply has; a pH that does not go with the alkalinity; a balance that is off, with the
    basis that would mend it, or that nothing unmeasured can close.

    Parameters
    ----------
    sample : Sample
        A sample as measured.

    Returns
    -------
    tuple of Suspicion
        Warnings for whoever reads the sheet; none for a sound sample.

    Notes
    -----
    Several bases may mend a balance; the one that mends it best is named.

    References
    ----------
    Common practice, no source.
    """
    measured = measured_of(sample, 10.0)
    completed = fill(measured)
    return (
        *contradictions(sample, completed),
        *_of_conductivity(sample, measured, completed),
        *_of_ph(sample, measured, completed),
        *(_of_balance(sample) if has_majors(sample) else _of_rest(measured, completed)),
    )


def doubt_notes(sample: Sample) -> tuple[Note, ...]:
    """What is hard to believe, as notes on a result."""
    return tuple(
        Note("hard-to-believe", {"message": found.message, "cause": found.hint})
        for found in suspicions(sample)
    )


def _of_conductivity(
    sample: Sample, measured: Measured, completed: Completed
) -> Iterator[Suspicion]:
    told = sample.conductivity_us_cm
    if not told:
        return
    if not measured.has("alkalinity") and not measured.hardness_known:
        yield from _of_supply(sample, told)
        return
    without = Measured(
        measured.mmol_l, measured.alkalinity_meq_l, measured.hardness_mg_l, measured.ph,
        measured.temperature_c,
    )  # fmt: skip
    dissolved = float(conductivity_25(fill(without).water))
    message = f"a conductivity of {told:g} uS/cm does not go with what is dissolved"
    for center, width, cause in _OTHER_UNITS:
        if dissolved > 0 and abs(log10(told / dissolved) - center) < width:
            yield Suspicion("conductivity", message, cause)
            return
    calculated = float(conductivity_25(completed.water))
    off = abs(told - calculated)
    if off > OFF_US_CM and off > OFF_PERCENT / 100.0 * calculated:
        cause = f"{calculated:.0f} uS/cm would: an analyte may be missing or in another unit"
        yield Suspicion("conductivity", message, cause)


def _of_supply(sample: Sample, told: float) -> Iterator[Suspicion]:
    """A conductivity that nothing on the sheet can be held against."""
    least, few, most = SUPPLY_US_CM
    if sample.point not in _OF_SUPPLY:
        return
    if told < least:
        yield Suspicion("conductivity", f"no supply conducts {told:g} uS/cm", _MILLI)
    elif told < few:
        cause = f"a very soft water does; otherwise {_PER_METRE}"
        yield Suspicion("conductivity", f"few supplies conduct {told:g} uS/cm", cause)
    elif told > most:
        yield Suspicion("conductivity", f"no supply conducts {told:g} uS/cm", _MICRO)


def _of_ph(sample: Sample, measured: Measured, completed: Completed) -> Iterator[Suspicion]:
    """Carbon dioxide that hardly any water holds; more hydroxide than alkalinity."""
    alkalinity = measured.alkalinity_meq_l
    if sample.ph is None or alkalinity is None:
        return
    message = f"pH {sample.ph:g} does not go with an alkalinity of {float(alkalinity):.2f} meq/L"
    co2_mg_l = float(completed.there.co2_mmol_l) * SPECIES["CO2"].molar_mass_g_mol
    hydroxide = float(completed.there.mmol_l["OH"])
    if co2_mg_l > MOST_CO2_MG_L:
        cause = (
            f"together they ask for {co2_mg_l:.0f} mg/L of carbon dioxide, and few waters hold"
            f" {MOST_CO2_MG_L:.0f}: measure pH at the tap, have the alkalinity titrated again"
        )
        yield Suspicion("pH", message, cause)
    elif hydroxide > float(alkalinity) + _LITTLE_MEQ_L:
        cause = f"the hydroxide alone would be {hydroxide:.2f} meq/L: is a decimal point wrong?"
        yield Suspicion("pH", message, cause)


def _of_balance(sample: Sample) -> Iterator[Suspicion]:
    """A balance that fails; the basis that would make it pass."""
    cations, anions = cation_sum_meq_l(sample) or 0.0, anion_sum_meq_l(sample) or 0.0
    error = charge_balance_error_percent(cations, anions) or 0.0
    if _passes(sample):
        return
    message = f"the charges are {abs(error):.0f} % off: too {_side(error)}"
    causes = [
        (abs(_balance_of(other)), analyte, cause)
        for analyte, cause, other in counted_anew(sample)
        if _passes(other)
    ]
    if causes:
        _, analyte, cause = min(causes)
        yield Suspicion(analyte, message, cause)
    elif abs(error) > _VERY_OFF_PERCENT:
        cause = "no other basis mends it: a decimal point, a unit, or an analyte that is missing"
        yield Suspicion("", message, cause)


def _passes(sample: Sample) -> bool:
    cations, anions = cation_sum_meq_l(sample) or 0.0, anion_sum_meq_l(sample) or 0.0
    return all(check.passed for check in balance_checks(cations, anions))


def _balance_of(sample: Sample) -> float:
    cations, anions = cation_sum_meq_l(sample) or 0.0, anion_sum_meq_l(sample) or 0.0
    return charge_balance_error_percent(cations, anions) or 0.0


def _of_rest(measured: Measured, completed: Completed) -> Iterator[Suspicion]:
    """Charges that nothing unmeasured can balance."""
    water = completed.water
    ions = salts(water)
    alkalinity = float(water.alkalinity_meq_l)
    cations = float(charge_sum_meq_l(ions, +1)) + max(-alkalinity, 0.0)
    anions = float(charge_sum_meq_l(ions, -1)) + max(alkalinity, 0.0)
    error = charge_balance_error_percent(cations, anions) or 0.0
    if abs(error) <= _BALANCE_PERCENT or abs(cations - anions) <= _BALANCE_MEQ_L:
        return
    missing = [key for key in ("Na", "Cl", "SO4", "alkalinity") if not measured.has(key)]
    names = " or ".join(SPECIES[key].name if key in SPECIES else key for key in missing)
    message = f"the charges are {abs(error):.0f} % off: too {_side(error)}"
    cause = "a decimal point, a unit, a basis, or an analyte that is missing"
    if names:
        cause = f"no {names} that was not measured can mend it: {cause}"
    yield Suspicion("", message, cause)


def _side(error: float) -> str:
    return "many cations or too few anions" if error > 0 else "few cations or too many anions"
