"""What stands in a column and what runs into it: beds of resin, and the feed as a resin sees it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from waterkit.errors import FieldError
from waterkit.treatment.exchange import ANIONS, CATIONS, CHARGE, SPECIES
from waterkit.water.composition import CARBON, Water
from waterkit.water.ions import charge_sum_meq_l
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]

CELLS = 20
STRONGEST_MOL_L = 0.1
"""Ionic strength up to which activity coefficients are good."""
BALANCED = 1e-3
"""Share of the charge up to which a feed counts as balanced."""
_ALIKE = {
    "Sr": ("Ca", 1.0), "Ba": ("Ca", 1.0), "Fe": ("Ca", 1.0), "Mn": ("Ca", 1.0), "Al": ("Ca", 1.5),
    "Br": ("Cl", 1.0), "NO2": ("NO3", 1.0), "PO4": ("Cl", 1.0),
}  # fmt: skip
"""What else a water may hold, and how much of which followed ion has its charge."""


@dataclass(frozen=True, slots=True)
class Bed:
    """One bed of resin: mixed, or of one resin alone.

    Parameters
    ----------
    cation_eq, anion_eq : float or array
        What each resin of the bed can take; 0 where it is not there [eq].
    pore_l : float or array
        Water between the beads and in them [L].
    cells : int
        Cells that the bed is cut into: the more, the sharper its fronts [1].
    cation_form, anion_form : mapping of str to float or array
        Fraction of each resin's equivalents that holds an ion at the beginning; the rest is in the
        H or OH form [1].
    held_mmol : mapping of str to array, or None
        What each cell holds at the beginning, instead of a form: cells, or cells and beds, as a run
        before left it [mmol].
    """

    cation_eq: "Numeric"
    anion_eq: "Numeric"
    pore_l: "Numeric"
    cells: int = CELLS
    cation_form: "Mapping[str, Numeric]" = field(default_factory=dict)
    anion_form: "Mapping[str, Numeric]" = field(default_factory=dict)
    held_mmol: "Mapping[str, Array] | None" = None


@dataclass(frozen=True, slots=True)
class FeedWater:
    """What runs into a column.

    Parameters
    ----------
    mmol_l : mapping of str to float or array
        Na, K, Ca, Mg, NH4, F, SO4, Cl, NO3, total inorganic carbon as ``C``, and ``SiO2``; what
        cations have more than these anions is alkalinity [mmol/L].
    temperature_c : float or array
        Temperature [degC].
    ph : float or array or None
        pH, where it is known: the column itself reckons it from the balance of charges [1].
    """

    mmol_l: "Mapping[str, Numeric]"
    temperature_c: "Numeric"
    ph: "Numeric | None" = None
    notes: tuple[Note, ...] = ()


def feed_of(water: Water) -> FeedWater:
    """A water as a resin sees it: ions that a column does not follow as the one they are like.

    iron, manganese, strontium, barium, aluminium as calcium; bromide and phosphate as chloride,
    nitrite as nitrate, each by its charge; what is short for the balance of charges as sodium or
    chloride

    Parameters
    ----------
    water : Water
        A completed water [mmol/L].

    Returns
    -------
    FeedWater
        Its amounts, balanced [mmol/L].

    Notes
    -----
    A note tells what was taken as another ion, and what was added for the balance where that is
    more than a thousandth of the charge.

    References
    ----------
    Balance of charges.
    """
    found: dict[str, Numeric] = {key: water.mmol_l.get(key, 0.0) for key in SPECIES}
    taken = []
    for key, (like, share) in _ALIKE.items():
        amount = water.mmol_l.get(key, 0.0)
        if np.any(amount):
            found[like] = found[like] + share * amount
            taken.append(key)
    notes = [Note("taken-as-like-ion", {"ions": tuple(taken)})] if taken else []
    salts = {key: found[key] for key in found if key not in (CARBON, "SiO2")}
    cations = charge_sum_meq_l(salts, +1)
    short = charge_sum_meq_l(salts, -1) + water.alkalinity_meq_l - cations
    found["Na"] = found["Na"] + np.maximum(short, 0.0)
    found["Cl"] = found["Cl"] + np.maximum(-short, 0.0)
    most = float(np.max(np.abs(short)))
    if most > BALANCED * float(np.max(cations)):
        notes.append(Note("feed-balanced", {"meq_l": most}))
    return FeedWater(found, water.temperature_c, water.ph, tuple(notes))


def _amount(feed: FeedWater, key: str) -> "Array":
    """An amount of a feed, as wide as all its amounts together."""
    return np.broadcast_to(
        feed.mmol_l.get(key, 0.0), np.broadcast_shapes(*map(np.shape, feed.mmol_l.values()))
    )


def loads_meq_l(feed: FeedWater) -> "tuple[Numeric, Numeric, Numeric]":
    """What a litre of a feed brings: cations, anions with carbon and silica, strong anions [meq/L].

    Raises
    ------
    FieldError
        If an amount is below none or no number, if there is nothing for a resin to take, or if the
        feed is stronger than the model is good for.
    """
    for key, amount in feed.mmol_l.items():
        if not np.all(np.isfinite(amount)) or np.any(np.less(amount, 0.0)):
            raise FieldError(f"the feed has {key} below none", "check the water test", key)

    def total(keys: Sequence[str], power: int = 1) -> "Numeric":
        parts = [CHARGE[key] ** power * _amount(feed, key) for key in keys]
        return np.asarray(np.sum(parts, axis=0))

    cations, anions = total(CATIONS), total(ANIONS)
    if np.any(np.add(cations, anions) <= 0.0):
        raise FieldError("the feed holds nothing for a resin to take", "check the water test")
    strength = float(np.max(np.add(total(CATIONS, 2), total(ANIONS, 2)))) / 2000.0
    if strength > STRONGEST_MOL_L:
        hint = f"a column is reckoned up to an ionic strength of {STRONGEST_MOL_L:g} mol/L"
        raise FieldError("the feed is too salty for a column", hint)
    return cations, anions, total([key for key in ANIONS if key not in (CARBON, "SiO2")])


def check_beds(beds: Sequence[Bed]) -> None:
    """Refuse a column that cannot take anything.

    Raises
    ------
    FieldError
        If there is no bed, a bed without capacity, pores or cells, or a resin that is fuller than
        full.
    """
    if not beds:
        raise FieldError("a column needs a bed", "describe a vessel")
    for bed in beds:
        sizes = (bed.cation_eq, bed.anion_eq)
        if any(np.any(np.less(size, 0.0)) or not np.all(np.isfinite(size)) for size in sizes):
            raise FieldError("a bed has a capacity below none", "write what it can take")
        if np.any(np.add(*sizes) <= 0.0):
            raise FieldError("a bed has no capacity", "write more than 0")
        if np.any(np.less_equal(bed.pore_l, 0.0)):
            raise FieldError("a bed has no water between its beads", "write more than 0 L", "pore")
        if bed.cells < 1:
            raise FieldError("a bed has no cells", "write 1 or more", "cells")
        for form in (bed.cation_form, bed.anion_form):
            full = sum(np.asarray(share) for share in form.values())
            if np.any(np.greater(full, 1.0 + 1e-9)):
                raise FieldError("a resin holds more than it can", "fractions add up to 1 at most")


def held_at_first(bed: Bed, present: Sequence[str], beds: int) -> "Array":
    """What each cell holds at the beginning: species, cells, beds [mmol]."""
    held = np.zeros((len(present), bed.cells, beds))
    for place, key in enumerate(present):
        if bed.held_mmol is not None:
            amount = np.asarray(bed.held_mmol.get(key, 0.0), dtype=float)
            held[place] = amount[:, np.newaxis] if amount.ndim == 1 else amount
            continue
        form, capacity = (
            (bed.cation_form, bed.cation_eq) if key in CATIONS else (bed.anion_form, bed.anion_eq)
        )
        held[place] = np.multiply(form.get(key, 0.0), capacity) * 1000.0 / bed.cells / CHARGE[key]
    return held
