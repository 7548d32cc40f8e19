"""What a water's ions are really made of: free ions, ion pairs and acids at equilibrium.

One solver for one water and for many at once: every concentration may be an array. What a water
keeps when it is warmed, aerated or mixed is its salts, its alkalinity and, closed, its carbon; pH
follows from them.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.pairs import (
    ALKALINITY,
    CATIONS,
    CHARGES,
    FORMED,
    FREE,
    INERT,
    LIGANDS,
    Activity,
    Formed,
    log_k,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]

MOST_ROUNDS, SWEEPS = 40, 2
"""Rounds of activity coefficients, and of the balances in each; most waters need four or five."""
CLOSE_ENOUGH, TINY_MOL_L = 1e-6, 1e-9
LONGEST_STEP = 1.5


@dataclass(frozen=True, slots=True)
class Speciation:
    """What a water consists of at one temperature.

    Parameters
    ----------
    mmol_l : mapping of str to float or array
        Free ions, ion pairs and acids by name [mmol/L].
    activity_mol_l : mapping of str to float or array
        Activities of the free ions [mol/L].
    ionic_strength_mol_l : float or array
        Ionic strength, pairs counted [mol/L].
    ph : float or array
        pH at that temperature [1].
    total_carbon_mmol_l : float or array
        Total inorganic carbon, pairs counted [mmol/L].
    temperature_c : float or array
        Temperature of the water [degC].
    """

    mmol_l: "Mapping[str, Numeric]"
    activity_mol_l: "Mapping[str, Numeric]"
    ionic_strength_mol_l: "Numeric"
    ph: "Numeric"
    total_carbon_mmol_l: "Numeric"
    temperature_c: "Numeric"

    @property
    def co2_mmol_l(self) -> "Numeric":
        """Dissolved carbon dioxide [mmol/L]."""
        return self.mmol_l["CO2"]


def speciate(
    mmol_l: "Mapping[str, Numeric]",
    alkalinity_meq_l: "Numeric",
    temperature_c: "Numeric",
    *,
    ph: "Numeric | None" = None,
    total_carbon_mmol_l: "Numeric | None" = None,
    carbon_dioxide_mmol_l: "Numeric | None" = None,
    guess_ph: "Numeric" = 7.0,
) -> Speciation:
    """What a water consists of: free ions, ion pairs, carbonate, pH.

    Balances of each ion, of alkalinity and, where given, of carbon; mass action with activity
    coefficients of the extended Debye-Hueckel formula. Exactly one of pH, total carbon (a closed
    water) and carbon dioxide (a water open to air) must be given.

    Parameters
    ----------
    mmol_l : mapping of str to float or array
        Total of each ion, and of silica; carbonate is not among them [mmol/L].
    alkalinity_meq_l : float or array
        Alkalinity, as titrated to CO2 and H2PO4-; below none for an acid water [meq/L].
    temperature_c : float or array
        Temperature of the water, 0 to 60 [degC].
    ph : float or array or None
        pH at that temperature [1].
    total_carbon_mmol_l : float or array or None
        Total inorganic carbon [mmol/L].
    carbon_dioxide_mmol_l : float or array or None
        Dissolved carbon dioxide [mmol/L].
    guess_ph : float or array
        Where the search for pH begins; a near one is found sooner [1].

    Returns
    -------
    Speciation
        Amounts [mmol/L], ionic strength [mol/L], pH.

    Raises
    ------
    ValueError
        If not exactly one of the three is given.

    Notes
    -----
    For ionic strengths up to 0.1 mol/L, some 5000 uS/cm. One kilogram of water is taken as one
    litre. Where a pH cannot go with an alkalinity, there is no carbonate. Iron, manganese,
    strontium, barium and aluminium count as free ions.

    Examples
    --------
    >>> water = speciate({"Ca": 2.0, "SO4": 0.5}, 3.0, 25.0, ph=7.5)
    >>> print(water.co2_mmol_l, water.mmol_l["CaHCO3"])
    0.194 0.0156

    References
    ----------
    D. L. Parkhurst, C. A. J. Appelo, PHREEQC version 3, U.S. Geological Survey, 2013: constants and
    ion sizes of its database phreeqc.dat.
    """
    given = [
        value for value in (ph, total_carbon_mmol_l, carbon_dioxide_mmol_l) if value is not None
    ]
    if len(given) != 1:
        raise ValueError(
            "exactly one of ph, total_carbon_mmol_l and carbon_dioxide_mmol_l is needed"
        )
    totals = {key: amount for key, amount in mmol_l.items() if key in _SOLVED}
    shape = np.broadcast(alkalinity_meq_l, temperature_c, given[0], *totals.values()).shape

    def spread(value: "Numeric") -> "Array":
        return np.broadcast_to(np.asarray(value, dtype=float), shape)

    solver = _Solver(
        {key: spread(amount) / 1000.0 for key, amount in totals.items()},
        spread(alkalinity_meq_l) / 1000.0,
        spread(temperature_c),
        10.0 ** -spread(guess_ph if ph is None else ph),
    )
    if total_carbon_mmol_l is not None:
        solver.carbon = spread(total_carbon_mmol_l) / 1000.0
    if carbon_dioxide_mmol_l is not None:
        solver.co2 = spread(carbon_dioxide_mmol_l) / 1000.0
    return solver.solve()


_SOLVED = {*CATIONS, *LIGANDS, *INERT} - {"CO3"}


class _Solver:
    """The balances while they are solved; mol/L throughout, ``h`` is an activity."""

    def __init__(
        self, totals: "dict[str, Array]", alkalinity: "Array", celsius: "Array", h: "Array"
    ) -> None:
        self.totals, self.alkalinity, self.celsius, self.h = totals, alkalinity, celsius, h
        self.carbon: Array | None = None
        self.co2: Array | None = None
        nothing = np.zeros(h.shape)
        present = {key for key, amount in totals.items() if np.any(amount)} | {"CO3", ""}
        self.formed = [each for each in FORMED if {each.cation, each.ligand} <= present]
        self.totals = {
            key: totals[key] for key in (*CATIONS, *LIGANDS) if key in totals and key in present
        }
        self.free = {**self.totals, "CO3": nothing}
        self.given = {key: totals[key] for key in INERT if key in totals}
        self.inert = nothing + sum(CHARGES[key] ** 2 * amount for key, amount in self.given.items())
        keys = ("H", *self.free)
        rows: list[tuple[int, float | None, float]] = [(CHARGES[k], *FREE[k]) for k in keys]
        rows += [(each.charge, each.size, each.slope) for each in self.formed]
        self.keys, self.activity = keys, Activity(rows, celsius)
        self.constants = [10.0 ** np.asarray(log_k(each.log_k, celsius)) for each in self.formed]
        self.gamma: dict[str, Array] = {}
        self.ratios: list[Array] = []
        self.terms: list[Array] = []

    def solve(self) -> Speciation:
        """Rounds of activity coefficients and balances until nothing moves."""
        squares = sum(CHARGES[key] ** 2 * amount for key, amount in self.free.items())
        strength = np.asarray((squares + self.inert + np.abs(self.alkalinity)) / 2.0)
        for _ in range(MOST_ROUNDS):
            before, last = strength, self.h
            self._apply_activity(strength)
            for _ in range(SWEEPS):
                self._sweep()
            strength = self._strength()
            moved = np.abs(strength - before) / (strength + TINY_MOL_L)
            if np.all(moved < CLOSE_ENOUGH) and np.all(np.abs(self.h / last - 1.0) < CLOSE_ENOUGH):
                break
        return self._result(strength)

    def _apply_activity(self, strength: "Array") -> None:
        """Constants for concentrations, with hydrogen ion as an activity."""
        gammas = self.activity(strength)
        self.gamma = dict(zip(self.keys, gammas, strict=False))
        for place, (each, constant) in enumerate(zip(self.formed, self.constants, strict=True)):
            ratio = constant / gammas[len(self.keys) + place]
            for part in filter(None, (each.cation, each.ligand)):
                ratio = ratio * self.gamma[part]
            self.ratios[place : place + 1] = [ratio]

    def _sweep(self) -> None:
        """Cations from the ligands, the ligands from the cations, then carbonate and pH."""
        powers: dict[int, Numeric] = {-1: 1.0 / self.h, 0: 1.0, 1: self.h, 2: self.h**2}
        self.terms = [
            ratio * powers[each.hydrogen]
            for each, ratio in zip(self.formed, self.ratios, strict=True)
        ]
        for key, total in self.totals.items():
            bound: Numeric = 1.0
            for each, term in zip(self.formed, self.terms, strict=True):
                if key == each.cation:
                    bound = bound + (term * self.free[each.ligand] if each.ligand else term)
                elif key == each.ligand:
                    bound = bound + (term * self.free[each.cation] if each.cation else term)
            self.free[key] = total / bound
        self._close()

    def _close(self) -> None:
        """Free carbonate, and one Newton step of pH where it is not given.

        Sums are for each mole of free carbonate: of alkalinity, of moles, and both times the
        hydrogen ions in each, which is how they change with the logarithm of ``h``.
        """
        charge, moles, charge_slope, mole_slope, gas = np.array((2.0, 1.0, 0.0, 0.0, 1.0))
        rest, rest_slope = self._other_alkalinity()
        for each, term in self._with_cations("CO3"):
            charge, moles = charge + each.alkalinity * term, moles + term
            charge_slope = charge_slope + each.alkalinity * each.hydrogen * term
            mole_slope = mole_slope + each.hydrogen * term
            gas = term if each.key == "CO2" else gas
        if self.carbon is not None:
            carbonate = self.carbon / moles
            slope = carbonate * (charge_slope - charge * mole_slope / moles)
        elif self.co2 is not None:
            carbonate = self.co2 / gas
            slope = carbonate * (charge_slope - 2.0 * charge)
        else:
            self.free["CO3"] = np.maximum(self.alkalinity - rest, 0.0) / charge
            return
        off = carbonate * charge + rest - self.alkalinity
        step = np.clip(-off / (slope + rest_slope), -LONGEST_STEP, LONGEST_STEP)
        self.h, self.free["CO3"] = self.h * np.exp(step), carbonate

    def _with_cations(self, ligand: str) -> "Iterator[tuple[Formed, Array]]":
        """What holds a ligand, for each mole of it that is free."""
        for each, term in zip(self.formed, self.terms, strict=True):
            if each.ligand == ligand:
                yield each, term * self.free[each.cation] if each.cation else term

    def _other_alkalinity(self) -> "tuple[Array, Array]":
        """Alkalinity that is no carbonate, and how it changes with the logarithm of ``h``.

        What one ion forms changes by the hydrogen that it holds beyond the mean of the ion.
        """
        total = slope = -self.h / self.gamma["H"]
        for ligand in (key for key in LIGANDS if key in self.totals):
            charge = ALKALINITY.get(ligand, 0) * self.free[ligand]
            held, change = np.zeros(()), np.zeros(())
            for each, term in self._with_cations(ligand):
                amount = term * self.free[ligand]
                charge, held = charge + each.alkalinity * amount, held + each.hydrogen * amount
                change = change + each.alkalinity * each.hydrogen * amount
            total = total + charge
            slope = slope + change - charge * held / np.maximum(self.totals[ligand], TINY_MOL_L)
        for each, amount in self._with_cations(""):
            left: Numeric = 1.0
            if each.cation:
                left = 1.0 - amount / np.maximum(self.totals[each.cation], TINY_MOL_L)
            total, slope = total + each.alkalinity * amount, slope - amount * left
        return total, slope

    def _amounts(self) -> "dict[str, Array]":
        """Everything in the water but its inert ions [mol/L]."""
        found = {"H": self.h / self.gamma["H"], **self.free}
        for each, term in zip(self.formed, self.terms, strict=True):
            found[each.key] = term
            for part in filter(None, (each.cation, each.ligand)):
                found[each.key] = found[each.key] * self.free[part]
        return found

    def _strength(self) -> "Array":
        charges = CHARGES | {each.key: each.charge for each in self.formed}
        squares = sum(charges[key] ** 2 * amount for key, amount in self._amounts().items())
        return np.asarray((squares + self.inert) / 2.0)

    def _result(self, strength: "Array") -> Speciation:
        amounts = self._amounts()
        carbon = amounts["CO3"] + sum(
            amounts[each.key] for each in self.formed if each.ligand == "CO3"
        )
        return Speciation(
            {key: (1000.0 * amount)[()] for key, amount in (amounts | self.given).items()},
            {key: (self.gamma[key] * amounts[key])[()] for key in self.keys},
            strength[()],
            -np.log10(self.h)[()],
            1000.0 * carbon[()],
            self.celsius[()],
        )
