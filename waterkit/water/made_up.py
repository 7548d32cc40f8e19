"""What was not measured and follows from charge or from conductivity."""

from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.conductance import conductivity_us_cm
from waterkit.water.ions import SPECIES, charge_sum_meq_l
from waterkit.water.measured import TDS_PER_US_CM, Measured
from waterkit.water.speciation import speciate
from waterkit.working import Note

if TYPE_CHECKING:
    from collections.abc import Mapping

    from waterkit.quantities import Numeric

# Common practice, no source.
ASSUMED_PH = 7.5
TYPICAL_CATIONS = {"Ca": 0.6, "Mg": 0.2, "Na": 0.2}
TYPICAL_ANIONS = {"alkalinity": 0.7, "Cl": 0.15, "SO4": 0.15}
"""Shares of the charges in a common hard water."""

SALTIEST_US_CM = 60_000.0
"""No more is made up than makes sea water; what a higher figure means is told, not worked out."""

ALKALINITY = "alkalinity"
_US_CM_A_MEQ = 100.0
_25_C = 25.0
_ROUNDS, _TINY_US_CM = 3, 1e-9
_NOISE_MEQ_L = 1e-9
_BY_CHARGE = (("Na", -1.0), ("Cl", 1.0), ("SO4", 1.0))


def excess_meq_l(found: "Mapping[str, Numeric]", alkalinity_meq_l: "Numeric") -> "Numeric":
    """Cations minus anions, alkalinity among these.

    sum of z c - alkalinity

    Parameters
    ----------
    found : mapping of str to float or array
        The ions without carbonate [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].

    Returns
    -------
    excess_meq_l : float or array
        Surplus of cations, below none of anions [meq/L].

    References
    ----------
    Balance of charge.
    """
    return charge_sum_meq_l(found, +1) - charge_sum_meq_l(found, -1) - alkalinity_meq_l


def add_charges(
    measured: Measured,
    found: "dict[str, Numeric]",
    alkalinity_meq_l: "Numeric | None",
    notes: list[Note],
) -> "Numeric":
    """Make up the charge: alkalinity, then sodium, chloride, sulfate, where they were not measured.

    Parameters
    ----------
    measured : Measured
        What was measured.
    found : dict of str to float or array
        The ions; what is made up is put in [mmol/L].
    alkalinity_meq_l : float or array or None
        Alkalinity, None where it was not measured [meq/L].
    notes : list of Note
        Takes what is made up.

    Returns
    -------
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].

    References
    ----------
    Balance of charge.
    """
    alkalinity = alkalinity_meq_l
    if alkalinity is None:
        alkalinity = np.maximum(excess_meq_l(found, 0.0), 0.0)
        if np.any(alkalinity > 0) or told_conductivity(measured) is None:
            _tell(ALKALINITY, alkalinity, notes)
    for key, side in _BY_CHARGE:
        short_meq_l = np.maximum(side * excess_meq_l(found, alkalinity), 0.0)
        if key not in measured.mmol_l and np.any(short_meq_l > _NOISE_MEQ_L):
            found[key] = short_meq_l / abs(SPECIES[key].charge)
            _tell(key, short_meq_l, notes)
    return alkalinity


def _tell(key: str, meq_l: "Numeric", notes: list[Note]) -> None:
    notes.append(Note("by-charge-difference", {"analyte": key, "meq_l": float(np.mean(meq_l))}))


def told_conductivity(measured: Measured) -> "Numeric | None":
    """Conductivity as measured, else from measured dissolved solids.

    conductivity = dissolved solids / 0.65

    Parameters
    ----------
    measured : Measured
        What was measured.

    Returns
    -------
    conductivity_us_cm : float or array or None
        Conductivity at 25 degC; None where the sheet tells neither [uS/cm].

    References
    ----------
    Common practice, no source.
    """
    if measured.conductivity_us_cm is None and measured.tds_mg_l is not None:
        return measured.tds_mg_l / TDS_PER_US_CM
    return measured.conductivity_us_cm


def add_conductivity(
    measured: Measured,
    found: "dict[str, Numeric]",
    alkalinity_meq_l: "Numeric",
    notes: list[Note],
) -> "Numeric":
    """Make up what is missing of the measured conductivity with what was not measured.

    Where nothing is known of hardness, by the shares of a common hard water; else by sodium, and
    chloride, or where that was measured alkalinity and sulfate alike, of what was not measured.

    Parameters
    ----------
    measured : Measured
        What was measured.
    found : dict of str to float or array
        The ions, their charges made up; what is added is put in [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity so far [meq/L].
    notes : list of Note
        Takes what is made up.

    Returns
    -------
    alkalinity_meq_l : float or array
        Alkalinity [meq/L].

    Notes
    -----
    Where all cations, or all anions, were measured nothing can be added:
    :func:`waterkit.water.doubts.suspicions` tells how far the conductivity is off.

    References
    ----------
    Common practice, no source.
    """
    target, shares = told_conductivity(measured), _not_measured(measured)
    if target is None or not shares:
        return alkalinity_meq_l
    start = _conductivity_25(found, alkalinity_meq_l, measured)
    missing = np.maximum(np.minimum(target, SALTIEST_US_CM) - start, 0.0)
    added: Numeric = missing / _US_CM_A_MEQ
    for _ in range(_ROUNDS):
        more, alkalinity = _with(found, alkalinity_meq_l, shares, added)
        reached = _conductivity_25(more, alkalinity, measured) - start
        added = added * missing / np.maximum(reached, _TINY_US_CM)
    if not np.any(missing > 0):
        return alkalinity_meq_l
    more, alkalinity = _with(found, alkalinity_meq_l, shares, added)
    found.update(more)
    notes += _notes_on(measured, shares, float(np.mean(target)), float(np.mean(added)))
    return alkalinity


def _notes_on(
    measured: Measured, shares: "Mapping[str, float]", us_cm: float, meq_l: float
) -> list[Note]:
    notes = []
    if measured.conductivity_us_cm is None:
        mg_l = float(np.mean(np.asarray(measured.tds_mg_l)))
        told = {"mg_l": mg_l, "us_cm": us_cm, "ratio": TDS_PER_US_CM}
        notes.append(Note("conductivity-from-dissolved-solids", told))
    values = {"us_cm": us_cm, "meq_l": meq_l, "analytes": tuple(shares)}
    known = measured.hardness_known
    notes.append(Note("salt-from-conductivity" if known else "composition-from-conductivity",
                      values))  # fmt: skip
    return notes


def _not_measured(measured: Measured) -> dict[str, float]:
    """What may be added, as shares of the charge of its side; nothing if one side is all known."""
    cations, anions = TYPICAL_CATIONS, TYPICAL_ANIONS
    if measured.hardness_known:
        cations = {"Na": 1.0}
        anions = {ALKALINITY: 1.0, "SO4": 1.0} if measured.has("Cl") else {"Cl": 1.0}
    sides = [
        {key: share for key, share in side.items() if not measured.has(key)}
        for side in (cations, anions)
    ]
    if not all(sides):
        return {}
    return {key: share / sum(side.values()) for side in sides for key, share in side.items()}


def _with(
    found: "Mapping[str, Numeric]",
    alkalinity: "Numeric",
    shares: "Mapping[str, float]",
    meq_l: "Numeric",
) -> "tuple[dict[str, Numeric], Numeric]":
    """The ions and alkalinity with so much charge added to both sides."""
    more = {
        key: found[key] + meq_l * share / abs(SPECIES[key].charge)
        for key, share in shares.items()
        if key != ALKALINITY
    }
    return {**found, **more}, alkalinity + meq_l * shares.get(ALKALINITY, 0.0)


def _conductivity_25(
    found: "Mapping[str, Numeric]", alkalinity: "Numeric", measured: Measured
) -> "Numeric":
    ph = ASSUMED_PH if measured.ph is None else measured.ph
    return conductivity_us_cm(speciate(found, alkalinity, _25_C, ph=ph))
