"""What a sheet does not tell, what that may do to the litres, which test is worth paying for."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from waterkit.water.acid import ASSUMED_CO2_MG_L, is_acid
from waterkit.water.completion import (
    ASSUMED_CA_TO_MG,
    ASSUMED_PH,
    ASSUMED_SILICA_MG_L,
    Completed,
    Measured,
    fill,
    measured_of,
)
from waterkit.water.composition import Water, at_temperature, larger, load
from waterkit.water.ions import CACO3_EQUIVALENT_G, CACO3_G_MOL, SPECIES
from waterkit.water.made_up import ALKALINITY
from waterkit.water.moved import moved
from waterkit.water.sample import Sample
from waterkit.working import Note

if TYPE_CHECKING:
    from collections.abc import Iterator

# Low and high of what is assumed: one water in ten lies below, one above (common practice, no
# source).
SILICA_MG_L = (5.0, 35.0)
PH = (6.8, 8.2)
ACID_CO2_MG_L = (1.0, 50.0)
MISSING_MG_L = {"SO4": (0.0, 60.0), "NO3": (0.0, 25.0), "K": (0.0, 6.0), "Mg": (0.0, 30.0)}
SALT_MG_L = (0.0, 100.0)
"""Sodium chloride, where neither was measured."""
PH_READ_C = 25.0
"""A laboratory reads pH at 20 to 25 degC."""
SPREAD_OF_DIFFERENCE = 0.05
"""What is made up by charge carries the error of all that was measured: 5 % of the larger sum."""
SPREAD_OF_RULE = (0.85, 1.15)
SPREAD_OF_SOLIDS = (0.8, 1.25)
"""A water guessed from its conductivity alone, or from its dissolved solids."""
WHOLE_ANALYSIS, SALT, PH_TEMPERATURE = "a whole analysis", "sodium chloride", "temperature of pH"
WORTH_PERCENT = 3.0
"""A test is worth paying for if the litres may move by more than this."""
SALT_G_MOL = SPECIES["Na"].molar_mass_g_mol + SPECIES["Cl"].molar_mass_g_mol
_CACO3 = "mg/L as CaCO3"

LitresOf = Callable[[Water], float | None]
"""Litres of a fresh vessel on a water of the supply [L]; None where it never wears out."""


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
    litres_at_low_l, litres_likely_l, litres_at_high_l : float or None
        Those litres; None where no vessel is known [L].
    """

    analyte: str
    low: float
    likely: float
    high: float
    unit: str
    litres_at_low_percent: float
    litres_at_high_percent: float
    litres_at_low_l: float | None = None
    litres_likely_l: float | None = None
    litres_at_high_l: float | None = None

    @property
    def effect_percent(self) -> float:
        """The larger of both changes [%]."""
        return max(abs(self.litres_at_low_percent), abs(self.litres_at_high_percent))


def unknowns(
    sample: Sample, temperature_c: float, litres_of: LitresOf | None = None
) -> tuple[Unknown, ...]:
    """What a sample leaves open, the one that may move the litres most first.

    change = litres at low / litres as taken - 1; without a vessel litres go as 1 / the larger load

    Parameters
    ----------
    sample : Sample
        A sample as measured.
    temperature_c : float
        Temperature of the supply, if the sample does not tell its own [degC].
    litres_of : callable or None
        Litres of a fresh vessel on a water of the supply, treated before it as it is.

    Returns
    -------
    tuple of Unknown
        One for each analyte that was assumed, or that was told as a range.

    Notes
    -----
    Each is moved by itself in the completed water, the others as assumed; what was not measured of
    alkalinity, sodium, chloride and sulfate keeps the charges as they were.

    References
    ----------
    Ranges of what is assumed: common practice, no source.
    """
    measured = measured_of(sample, temperature_c)
    mover = _Mover(measured, fill(measured), litres_of)
    found = [
        *_ranges(sample, mover),
        *_assumed(mover),
        *_temperature(sample, mover),
        *_by_difference(mover),
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


@dataclass(frozen=True, slots=True)
class _Mover:
    """A sheet, its completed water, and how many litres a vessel gives on a water."""

    measured: Measured
    completed: Completed
    vessel: LitresOf | None = None

    @property
    def water(self) -> Water:
        """The completed water."""
        return self.completed.water

    def litres(self, water: Water) -> float | None:
        """Litres of the vessel, else a measure of them."""
        if self.vessel is not None:
            return self.vessel(water)
        meq_l = float(larger(load(water)))
        return 1.0 / meq_l if meq_l > 0 else None

    def unknown(
        self, analyte: str, unit: str, values: tuple[float, float, float], ends: tuple[Water, Water]
    ) -> Unknown:
        """An unknown with the waters at its low and high end."""
        taken, *moving = (self.litres(water) for water in (self.water, *ends))
        percents = [100.0 * (then / taken - 1.0) if then and taken else 0.0 for then in moving]
        found = Unknown(analyte, *values, unit, *percents)
        if self.vessel is None:
            return found
        low, high = moving
        return replace(found, litres_at_low_l=low, litres_likely_l=taken, litres_at_high_l=high)

    def by_moves(
        self, analyte: str, unit: str, values: tuple[float, float, float], per_mmol: float
    ) -> Unknown:
        """An unknown whose amounts are moved in the completed water, ``values`` in its unit."""
        low, high = (self.moved_to({analyte: v / per_mmol}) for v in (values[0], values[2]))
        return self.unknown(analyte, unit, values, (low, high))

    def moved_to(self, amounts: dict[str, float]) -> Water:
        """The completed water with some amounts at other values; the rest of hardness follows."""
        pair = [key for key in ("Ca", "Mg") if self.measured.has(key)]
        if self.measured.has("hardness") and len(pair) == 1 and pair[0] in amounts:
            other = "Mg" if pair == ["Ca"] else "Ca"
            total = float(self.water.mmol_l["Ca"] + self.water.mmol_l["Mg"])
            amounts = {**amounts, other: max(total - amounts[pair[0]], 0.0)}
        return fill(moved(self.measured, self.water, amounts)).water

    def at_ph(self, ph: float) -> Water:
        """The completed water as if another pH had been read."""
        return fill(replace(moved(self.measured, self.water, {}), ph=ph)).water

    def in_their_unit(self, key: str) -> tuple[str, float]:
        """The unit that an amount is shown in, and how much of it one mmol/L or meq/L is."""
        if key == ALKALINITY:
            return _CACO3, CACO3_EQUIVALENT_G
        return "mg/L", SPECIES[key].molar_mass_g_mol


def _ranges(sample: Sample, mover: _Mover) -> "Iterator[Unknown]":
    """What the sheet tells as a range."""
    for key, (low, high) in sample.ranges.items():
        middle = (low + high) / 2.0
        if key == "pH":
            ends = (mover.at_ph(low), mover.at_ph(high))
            yield mover.unknown(key, "1", (low, middle, high), ends)
        elif key in ("conductivity", "TDS"):
            yield from _of_conductivity(mover, key, (low, middle, high))
        elif key == "hardness":
            ends = (_harder(mover, low - middle), _harder(mover, high - middle))
            yield mover.unknown(key, _CACO3, (low, middle, high), ends)
        elif key == ALKALINITY or key in mover.water.mmol_l or key in ("CO2", "HCO3", "CO3"):
            unit, mass = mover.in_their_unit(key)
            yield mover.by_moves(key, unit, (low * mass, middle * mass, high * mass), mass)


def _of_conductivity(
    mover: _Mover, key: str, values: tuple[float, float, float]
) -> "Iterator[Unknown]":
    """A conductivity told as a range moves what was made up from it."""
    measured = mover.measured
    low, high = (
        fill(
            replace(measured, conductivity_us_cm=value)
            if key == "conductivity"
            else replace(measured, tds_mg_l=value)
        ).water
        for value in (values[0], values[2])
    )
    unit = "uS/cm" if key == "conductivity" else "mg/L"
    yield mover.unknown(key, unit, values, (low, high))


def _harder(mover: _Mover, mg_l: float) -> Water:
    """The completed water with more hardness, or less, of what was not measured itself."""
    shares = {"Ca": ASSUMED_CA_TO_MG, "Mg": 1.0}
    open_ = {key: share for key, share in shares.items() if not mover.measured.has(key)}
    more = mg_l / CACO3_G_MOL / sum(open_.values()) if open_ else 0.0
    amounts = {
        key: max(float(mover.water.mmol_l[key]) + share * more, 0.0) for key, share in open_.items()
    }
    return mover.moved_to(amounts)


def _assumed(mover: _Mover) -> "Iterator[Unknown]":
    measured, water = mover.measured, mover.water
    told = {str(note.values.get("analyte")) for note in mover.completed.notes}
    added = _added(mover.completed)
    if not measured.has("SiO2"):
        values = (SILICA_MG_L[0], ASSUMED_SILICA_MG_L, SILICA_MG_L[1])
        yield mover.by_moves("SiO2", "mg/L", values, SPECIES["SiO2"].molar_mass_g_mol)
    if is_acid(measured) and not measured.has("CO2"):
        values = (ACID_CO2_MG_L[0], ASSUMED_CO2_MG_L, ACID_CO2_MG_L[1])
        yield mover.by_moves("CO2", "mg/L", values, SPECIES["CO2"].molar_mass_g_mol)
    if measured.ph is None and not measured.mmol_l.get("CO2"):
        ends = (mover.at_ph(PH[0]), mover.at_ph(PH[1]))
        yield mover.unknown("pH", "1", (PH[0], ASSUMED_PH, PH[1]), ends)
    for key, (low, high) in MISSING_MG_L.items():
        if not measured.has(key) and key not in told | added and not water.mmol_l[key]:
            mass = SPECIES[key].molar_mass_g_mol
            yield mover.by_moves(key, "mg/L", (low, 0.0, high), mass)
    if not (measured.has("Na") or measured.has("Cl") or {"Na", "Cl"} & added):
        yield _salt(mover)


def _salt(mover: _Mover) -> Unknown:
    """Sodium chloride beside what the charges ask for."""
    ends = []
    for mg_l in SALT_MG_L:
        amounts = {key: float(mover.water.mmol_l[key]) + mg_l / SALT_G_MOL for key in ("Na", "Cl")}
        ends.append(mover.moved_to(amounts))
    return mover.unknown(SALT, "mg/L", (SALT_MG_L[0], 0.0, SALT_MG_L[1]), (ends[0], ends[1]))


def _temperature(sample: Sample, mover: _Mover) -> "Iterator[Unknown]":
    """A pH of which nobody wrote at which temperature it was read."""
    celsius = float(mover.water.temperature_c)
    told = sample.ph is None or sample.temperature_c is not None
    if told or celsius >= PH_READ_C or is_acid(mover.measured):
        return
    whole = replace(moved(mover.measured, mover.water, {}), temperature_c=PH_READ_C)
    warm = at_temperature(fill(whole).water, celsius)
    values = (celsius, celsius, PH_READ_C)
    yield mover.unknown(PH_TEMPERATURE, "degC", values, (mover.water, warm))


def _added(completed: Completed) -> set[str]:
    """What was made up from a conductivity."""
    return {
        analyte
        for note in completed.notes
        if note.key in ("salt-from-conductivity", "composition-from-conductivity")
        for analyte in _words(note.values["analytes"])
    }


def _words(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, tuple) else ()


def _by_difference(mover: _Mover) -> "Iterator[Unknown]":
    """What makes up the charge and the conductivity, at its finished value."""
    keys = {note.key for note in mover.completed.notes}
    if "composition-from-conductivity" in keys:
        yield _whole_analysis(mover)
        return
    told = [
        str(note.values["analyte"])
        for note in mover.completed.notes
        if note.key == "by-charge-difference"
    ]
    off_meq_l = SPREAD_OF_DIFFERENCE * float(load(mover.water).cation_meq_l)
    for key in dict.fromkeys((*told, *sorted(_added(mover.completed)))):
        unit, mass = mover.in_their_unit(key)
        off = off_meq_l / (1 if key == ALKALINITY else abs(SPECIES[key].charge))
        amount = float(
            mover.water.alkalinity_meq_l if key == ALKALINITY else mover.water.mmol_l[key]
        )
        values = (max(amount - off, 0.0) * mass, amount * mass, (amount + off) * mass)
        yield mover.by_moves(key, unit, values, mass)


def _whole_analysis(mover: _Mover) -> Unknown:
    """A water guessed from its conductivity, or from its dissolved solids."""
    conductivity = mover.measured.conductivity_us_cm
    key, spread = ("conductivity", SPREAD_OF_RULE)
    if conductivity is None:
        conductivity, key, spread = mover.measured.tds_mg_l, "TDS", SPREAD_OF_SOLIDS
    told = float(conductivity or 0.0)
    values = (told * spread[0], told, told * spread[1])
    return replace(next(_of_conductivity(mover, key, values)), analyte=WHOLE_ANALYSIS)
