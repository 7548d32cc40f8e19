"""One parcel of water meets the resin of one cell: the equilibrium that a column is made of.

Many cells of many beds are solved at once: arrays are (species, cells). Amounts are mmol and
capacities meq, both for each litre of the parcel, so that nothing here knows a volume; hydrogen ion
is an activity in mol/L.

Three unknowns tell everything in a cell: ``x`` and ``y``, what the cation and the anion resin hold
of an ion of one charge for each unit of its activity, and hydrogen ion ``h``. A species of which
there are ``T`` in all has ``T / (1 + pairs + up h + down / h + K Q gamma x^z / z)`` as free ion:
next to it stand what it pairs with, what it becomes in the water with a hydrogen ion more or less,
and what the resin holds.
Three balances find the unknowns: the sites of the cation resin are full, so are those of the anion
resin, and the water has no charge. Newton's method works on their logarithms; its three equations
are solved by hand, because neither resin sees the other but through the water.
"""

from copy import copy
from typing import TYPE_CHECKING

import numpy as np

from waterkit.treatment.pairing import Pairs
from waterkit.water.equilibria import debye_huckel_slope, log_k1, log_k2, water_ion_product
from waterkit.water.pairs import FORMED, log_k

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

CATIONS = ("Na", "K", "Ca", "Mg", "NH4")
ANIONS = ("F", "SO4", "C", "SiO2", "Cl", "NO3")
SPECIES = (*CATIONS, *ANIONS)
"""What a column follows, in this order; ``C`` is total inorganic carbon, ``SiO2`` silica."""
CHARGE = {
    "Na": 1, "K": 1, "Ca": 2, "Mg": 2, "NH4": 1,
    "F": 1, "SO4": 2, "C": 1, "SiO2": 1, "Cl": 1, "NO3": 1,
}  # fmt: skip
"""Equivalents in one mole on the resin: carbon is held as HCO3, silica as H3SiO4."""
WEAK = ("Ca", "Mg", "NH4", "F", "SO4", "C", "SiO2")
"""What takes or gives hydrogen ions in the water (CaOH gives one); they stand together."""

CLOSE_ENOUGH, LONGEST_STEP, MOST_ROUNDS, MANY = 1e-3, 2.0, 300, 64
"""Of the logarithms of the unknowns: what is left after the last step is some square of it."""
_LN_10 = float(np.log(10.0))
_H_ON_RESIN = np.array([[1.0], [-1.0]])
"""How hydrogen ion in the water moves what is held of hydrogen, and of hydroxide ion."""
_FORMED = {each.key: each.log_k for each in FORMED}


class Chemistry:
    """Charges and constants of the species that are there, at the temperature of each bed."""

    def __init__(self, present: "Sequence[str]", temperature_c: "Array") -> None:
        self.present = tuple(present)
        cations = sum(key in CATIONS for key in present)
        self.charge = np.array([CHARGE[key] for key in present], dtype=float)
        self.signed = self.charge * np.where(np.arange(len(present)) < cations, 1.0, -1.0)
        self.sides = np.array([self.charge * (self.signed > 0), self.charge * (self.signed < 0)])
        """Equivalents of cations, and of anions."""
        self.power = ((self.signed < 0) + 2 * (self.charge - 1)).astype(int)
        """Which of x, y, x^2 and y^2 the resin holds a species by."""
        self.gamma = np.where(self.charge > 1, 1, 0)
        """Which of the activity coefficients of one and two charges a species has."""
        self.temperature_c = temperature_c
        self.slope = np.asarray(debye_huckel_slope(temperature_c))
        self.kw = np.asarray(water_ion_product(temperature_c))
        self._weak(temperature_c)

    def _weak(self, celsius: "Array") -> None:
        """What the weak species become with a hydrogen ion more (``up``) or less (``down``)."""

        def formed(key: str) -> "Array":
            return 10.0 ** np.asarray(log_k(_FORMED[key], celsius))

        none, k1, k2 = 0.0 * celsius, 10.0 ** log_k1(celsius), 10.0 ** log_k2(celsius)
        # constants of up and down, the charges of what is made, the powers of gamma in both
        table = {
            "Ca": (none, formed("CaOH"), 0.0, 1.0, 1, 3),
            "Mg": (none, formed("MgOH"), 0.0, 1.0, 1, 3),
            "NH4": (none, formed("NH3"), 0.0, 0.0, 1, 1),
            "F": (formed("HF"), none, 0.0, 0.0, 1, 1),
            "SO4": (formed("HSO4"), none, -1.0, 0.0, 3, 1),
            "C": (1.0 / k1, k2, 0.0, -2.0, 1, -3),
            "SiO2": (1.0 / formed("H3SiO4"), none, 0.0, 0.0, 1, 1),
        }
        weak = [key for key in self.present if key in WEAK]
        rows = [table[key] for key in weak]
        self.carbon = weak.index("C") if "C" in weak else None
        """Which of the weak species is carbon."""
        first = next((i for i, key in enumerate(self.present) if key in WEAK), 0)
        self.weak = slice(first, first + len(rows))
        shape, place = (len(rows), len(celsius)), {1: 0, 3: 1, -3: 2}
        self.up = np.array([row[0] for row in rows]).reshape(shape)
        self.down = np.array([row[1] for row in rows]).reshape(shape)
        self.up_charge = np.array([row[2] for row in rows]).reshape(-1, 1)
        self.down_charge = np.array([row[3] for row in rows]).reshape(-1, 1)
        self.up_gamma = np.array([place[row[4]] for row in rows], dtype=int)
        self.down_gamma = np.array([place[row[5]] for row in rows], dtype=int)


class Cells:
    """Cells with their resin, one column of every array each; ``bed`` tells whose water it is.

    Parameters
    ----------
    chemistry : Chemistry
        Of the water.
    bed : array
        The column of the chemistry's constants that each cell has.
    hold : array
        Capacity of the resin times K / z, for each species.
    cation, anion : array
        Capacities.
    takes_hydrogen : bool
        Whether the cation resin holds hydrogen ions.
    """

    def __init__(
        self, chemistry: Chemistry, bed: "NDArray[np.int_]", hold: "Array", cation: "Array",
        anion: "Array", takes_hydrogen: bool,
    ) -> None:  # fmt: skip
        self.chemistry = chemistry
        self.hold, self.sites = hold / 1000.0, np.array([cation, anion])
        self.bare = (self.sites <= 0.0).astype(float)
        self.kw, self.slope = chemistry.kw[bed], chemistry.slope[bed]
        self.up, self.down = chemistry.up[:, bed], chemistry.down[:, bed]
        self.pairs = Pairs(chemistry.present, chemistry.temperature_c[bed])
        self.takes_hydrogen = float(takes_hydrogen)

    def settle(
        self, window: slice, total: "Array", share: "Array", logs: "Array", before: "Array"
    ) -> "tuple[Array, Array]":
        """What is in the water of some cells once it is in balance with the resin.

        Parameters
        ----------
        window : slice
            Which cells.
        total : array
            All that is in water and resin together.
        share : array
            What the capacities are to be multiplied by, for each litre of this parcel.
        logs : array
            Logarithms of x, y and h, as good as they are known; they are set to what they are.
        before : array
            What was free in these cells one parcel before, see :func:`unknown_water`: activity
            coefficients and ion pairs are taken from it.

        Returns
        -------
        water, free : array
            Amounts in the water, and what of them is free.
        """
        return _Balance(self, window, total, share, before).solve(logs)

    def in_water(self, window: slice, before: "Array") -> "tuple[Array, Array, Array, Array]":
        """Activity coefficient of one charge (Davies), ``up``, ``down``, and what is paired.

        What is paired is for each ion that is free; the last row is of carbonate, and in ``down``
        already.
        """
        strength = before[-1]
        root = np.sqrt(strength)
        one = np.exp(-_LN_10 * self.slope[window] * (root / (1.0 + root) - 0.3 * strength))
        cube = one * one * one
        powers = np.array([one, cube, 1.0 / cube])
        up = self.up[:, window] * powers[self.chemistry.up_gamma]
        down = self.down[:, window] * powers[self.chemistry.down_gamma]
        paired = self.pairs.beside(window, one, before)
        if self.chemistry.carbon is not None:
            down[self.chemistry.carbon] *= 1.0 + paired[-1]
        return one, up, down, paired


def unknown_water(species: int, cells: int) -> "Array":
    """What is free in cells of which nothing is known yet.

    Rows: each species (of carbon HCO3) and carbonate [mmol/L], ionic strength [mol/L].
    """
    return np.concatenate([np.zeros((species + 1, cells)), np.full((1, cells), 1e-6)])


class _Balance:
    """The three balances of some cells while they are solved."""

    def __init__(
        self, cells: Cells, window: slice, total: "Array", share: "Array", before: "Array"
    ) -> None:
        self.chemistry, self.total = cells.chemistry, total
        self.one, self.up, self.down, paired = cells.in_water(window, before)
        self.base, self.carbonate = 1.0 + paired[:-1], 1.0 + paired[-1]
        self.signed = self.chemistry.signed[:, np.newaxis] * self.base
        coefficients = np.array([self.one, self.one**4])
        self.hold = cells.hold[:, window] * coefficients[self.chemistry.gamma]
        self.hold *= share
        self.kw, self.bare = cells.kw[window], cells.bare[:, window]
        self.sites = cells.sites[:, window] * share
        self.hydrogen = self.sites[0] * cells.takes_hydrogen
        self.hydroxide = self.sites[1] * self.kw
        self.per_activity = 1000.0 / self.one

    def solve(self, logs: "Array") -> "tuple[Array, Array]":
        """Find the unknowns, then the water."""
        self._find(logs)
        return self._water(logs)

    def _find(self, logs: "Array") -> None:
        """Newton's method until the logarithms of the unknowns stand still."""
        for _ in range(MOST_ROUNDS):
            step = self._step(logs)
            logs += step
            moving = np.abs(step).max(axis=0) > CLOSE_ENOUGH
            left = np.count_nonzero(moving)
            if not left:
                return
            if MANY < moving.size > 2 * left:  # go on with the few that are left
                some = logs[:, moving]
                self._only(moving)._find(some)
                logs[:, moving] = some
                return
        raise ArithmeticError("the balance of a cell was not found")

    def _only(self, which: "NDArray[np.bool_]") -> "_Balance":
        """The same balances of some of the cells."""
        some = copy(self)
        for name, value in vars(self).items():
            if isinstance(value, np.ndarray):
                setattr(some, name, value[..., which])
        return some

    def _held(self, unknown: "Array") -> "Array":
        """What the resin holds for each free ion."""
        both = unknown[:2]
        held: Array = np.concatenate([both, both * both])[self.chemistry.power]
        held *= self.hold
        return held

    def _step(self, logs: "Array") -> "Array":
        """One step of Newton's method towards three balances that hold."""
        chemistry, weak, sides = self.chemistry, self.chemistry.weak, self.chemistry.sides
        unknown = np.exp(logs)
        h = unknown[2]
        held, up, down = self._held(unknown), self.up * h, self.down / h
        whole = held + self.base
        whole[weak] += up + down
        free = self.total / whole
        held /= whole  # from here on the share that is held
        on_resin = self.total * held
        turn = (up - down) / whole[weak]  # what a rise of ln h takes from the free ions
        charge = self.signed * free
        up *= chemistry.up_charge * free[weak]
        down *= chemistry.down_charge * free[weak]
        charge[weak] += up + down
        acid, base = h * self.per_activity, self.kw / h * self.per_activity
        resin = np.array([self.hydrogen * (h * unknown[0]), self.hydroxide * (unknown[1] / h)])

        full = sides @ on_resin + resin - self.sites
        full_by_own = (sides * chemistry.charge) @ (on_resin - on_resin * held) + resin + self.bare
        full_by_h = _H_ON_RESIN * resin - sides[:, weak] @ (on_resin[weak] * turn)
        off = charge.sum(axis=0) + acid - base
        off_by_own = -(sides @ (charge * held))
        off_by_h = (up - down - charge[weak] * turn).sum(axis=0) + acid + base
        return _solved(full / full_by_own, full_by_h / full_by_own, off, off_by_own, off_by_h)

    def _water(self, logs: "Array") -> "tuple[Array, Array]":
        """Amounts in the water, and what of them is free."""
        chemistry, weak = self.chemistry, self.chemistry.weak
        unknown = np.exp(logs)
        h = unknown[2]
        up, down = self.up * h, self.down / h
        whole = self._held(unknown) + self.base
        whole[weak] += up + down
        free = self.total / whole
        water = free * self.base
        up *= free[weak]
        down *= free[weak]
        water[weak] += up + down
        known = np.concatenate([free, np.zeros((2, h.size))])
        if chemistry.carbon is not None:
            down[chemistry.carbon] /= self.carbonate
            known[-2] = down[chemistry.carbon]
        squares = (chemistry.charge**2) @ free
        squares += (chemistry.up_charge**2 * up + chemistry.down_charge**2 * down).sum(axis=0)
        known[-1] = squares / 2000.0 + (h + self.kw / h) / (2.0 * self.one)
        return water, known


def _solved(
    full: "Array", full_by_h: "Array", off: "Array", off_by_own: "Array", off_by_h: "Array"
) -> "Array":
    """The step that three linear equations ask for: sites by sites, then the charge of the water.

    own step + full_by_h x step of h = -full, for x and for y;
    sum of off_by_own x own step + off_by_h x step of h = -off
    """
    step = np.empty((3, off.size))
    step[2] = (off_by_own * full).sum(axis=0) - off
    step[2] /= off_by_h - (off_by_own * full_by_h).sum(axis=0)
    _shorten(step[2])
    step[:2] = -full - full_by_h * step[2]
    _shorten(step)
    return step


def _shorten(step: "Array") -> None:
    np.minimum(step, LONGEST_STEP, out=step)
    np.maximum(step, -LONGEST_STEP, out=step)
