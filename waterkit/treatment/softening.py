"""Softeners: hardness for sodium, at the cost of salt."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Literal

import numpy as np

from waterkit.quantities import CAPACITY, MASS, VOLUME
from waterkit.treatment.told import given_of
from waterkit.water.composition import Water, with_ions
from waterkit.working import COMMON_PRACTICE, Given, Note, Working

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

HARDNESS = ("Ca", "Mg", "Sr", "Ba", "Fe", "Mn")
"""What a softener takes: all ions of two charges."""


@dataclass(frozen=True, slots=True)
class Softener:
    """A softener that is regenerated with salt on the spot.

    The default capacity goes with the default salt, 0.1 kg for a litre of resin: common practice,
    no source.

    Parameters
    ----------
    resin_l : float
        Cation resin in it [L].
    capacity_eq_l : float
        What a litre of the resin takes between two regenerations [eq/L].
    salt_per_regeneration_kg : float
        Salt that one regeneration takes [kg].
    """

    kind: Literal["softener"]
    resin_l: Annotated[float, VOLUME] = 30.0
    capacity_eq_l: Annotated[float, CAPACITY] = 0.9
    salt_per_regeneration_kg: Annotated[float, MASS] = 3.0


@dataclass(frozen=True, slots=True)
class Softened:
    """Water behind a softener, and what it costs.

    Parameters
    ----------
    water : Water
        What leaves it [mmol/L].
    salt_kg_m3 : float or array
        Salt for a cubic metre of water [kg/m3].
    litres_l : float or array
        Water between two regenerations; infinite for a water without hardness [L].
    """

    water: Water
    salt_kg_m3: "Numeric"
    litres_l: "Numeric"
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


def soften(water: Water, softener: Softener, place: str = "") -> Softened:
    """What leaves a softener: hardness exchanged for sodium, charge for charge.

    Na + 2 (Ca + Mg + Sr + Ba + Fe + Mn); litres = 1000 capacity resin / hardness;
    salt = salt of one regeneration / litres

    Parameters
    ----------
    water : Water
        What enters it [mmol/L].
    softener : Softener
        The softener: resin [L], capacity [eq/L] and salt [kg].
    place : str
        Where it stands in the club's file, such as ``train.2``.

    Returns
    -------
    Softened
        The water [mmol/L], the salt for a cubic metre, the litres between regenerations [L].

    Notes
    -----
    Nothing leaks: a softener in order leaves a few mg/L of hardness. The water that a regeneration
    sends to the drain is not counted.

    References
    ----------
    Balance of charge; salt and capacity: common practice, no source.
    """
    taken = {key: amount for key, amount in water.mmol_l.items() if key in HARDNESS}
    hardness: Numeric = sum(
        (2.0 * amount for amount in taken.values()), 0.0 * water.alkalinity_meq_l
    )
    left = {key: 0.0 * amount for key, amount in taken.items()}
    sodium = water.mmol_l.get("Na", 0.0) + hardness
    softened = with_ions(water, {**water.mmol_l, **left, "Na": sodium}, water.alkalinity_meq_l)
    capacity_eq = softener.capacity_eq_l * softener.resin_l
    with np.errstate(divide="ignore", over="ignore"):
        litres = np.divide(1000.0 * capacity_eq, hardness)
    salt = 1000.0 * softener.salt_per_regeneration_kg * hardness / (1000.0 * capacity_eq)
    values = {"salt_kg_m3": float(np.mean(salt)), "litres": float(np.mean(litres))}
    hard = bool(np.all(np.isfinite(litres)))
    notes = (Note("softened", values) if hard else Note("nothing-to-soften"),)
    working = _salt_working(softener, hardness, salt, place)
    return Softened(softened, salt, litres, (working,), notes)


def _salt_working(softener: Softener, hardness: "Numeric", salt: "Numeric", place: str) -> Working:
    salt_kg = "salt_per_regeneration_kg"
    return Working(
        "salt for a cubic metre",
        "salt of one regeneration x hardness / (capacity x resin)",
        (
            given_of("salt of one regeneration", softener, salt_kg, "kg", place),
            Given("hardness", float(np.mean(hardness)), "meq/L", "worked out"),
            given_of("capacity", softener, "capacity_eq_l", "eq/L", place),
            given_of("resin", softener, "resin_l", "L", place),
        ),
        float(np.mean(salt)),
        "kg/m3",
        COMMON_PRACTICE,
    )


def exchanged_meq_l(
    total_meq_l: "Numeric",
    calcium_meq_l: "Numeric",
    sodium_meq_l: "Numeric",
    sodium_over_calcium: "Numeric",
) -> "Numeric":
    """Calcium that a litre of softening resin holds when it is in balance with the water.

    q = Ca Q / (Ca + Na alpha), alpha the separation factor of sodium over calcium

    Parameters
    ----------
    total_meq_l : float or array
        Capacity of the resin [meq/L].
    calcium_meq_l, sodium_meq_l : float or array
        Calcium and sodium in the water [meq/L].
    sodium_over_calcium : float or array
        Separation factor of sodium over calcium [1].

    Returns
    -------
    exchanged_meq_l : float or array
        Calcium on the resin [meq/L].

    Examples
    --------
    >>> exchanged_meq_l(2000.0, 1.4, 2.6, 0.53)
    1008.

    References
    ----------
    M. L. Davis, Water and Wastewater Engineering, McGraw-Hill, 2010, example 8-1.
    """
    return calcium_meq_l * total_meq_l / (calcium_meq_l + sodium_meq_l * sodium_over_calcium)
