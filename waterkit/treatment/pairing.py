"""Ion pairs in the water of a column, taken from what the ions of a cell were one parcel before.

Calcium and carbonate, say, keep each other in the water, which the resin notices only where spent
cation resin gives a hard and caustic water. What was free a parcel before tells well enough how
much is paired: where the water stands still, both sides agree.
"""

from typing import TYPE_CHECKING

import numpy as np

from waterkit.water.equilibria import log_k2
from waterkit.water.pairs import CHARGES, FORMED, Formed, log_k

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    Array = NDArray[np.float64]

_PAIRS = [each for each in FORMED if each.cation and each.ligand in ("CO3", "SO4", "F")]
_METALS = ("Na", "K", "Ca", "Mg", "NH4")
_GAMMA_POWERS = {2: 0, 4: 1, 8: 2}


class Pairs:
    """Which ions of a water pair, and how strongly at the temperature of each cell.

    Parameters
    ----------
    present : sequence of str
        The species, in the order of the rows.
    temperature_c : array
        Of each cell.
    """

    def __init__(self, present: "Sequence[str]", temperature_c: "Array") -> None:
        place = {key: row for row, key in enumerate(present)}
        self.rows = len(place)
        ligands = {"HCO3": place.get("C"), "CO3": self.rows if "C" in place else None,
                   "SO4": place.get("SO4"), "F": place.get("F")}  # fmt: skip
        found = [key for key, row in ligands.items() if row is not None]
        metals = [key for key in _METALS if key in place]
        self.cations = [place[key] for key in metals]
        self.ligands = [row for row in ligands.values() if row is not None]
        shape = (len(metals), len(found))
        self.constant = np.zeros((*shape, len(temperature_c)))
        self.power = np.zeros(shape, dtype=int)
        self.kind: dict[tuple[int, int], str] = {}
        for each in _PAIRS:
            ligand = "HCO3" if each.ligand == "CO3" and each.hydrogen else each.ligand
            if each.cation in metals and ligand in found:
                self._enter(each, (metals.index(each.cation), found.index(ligand)), temperature_c)

    def _enter(self, each: Formed, at: tuple[int, int], celsius: "Array") -> None:
        """One pair: its constant for mmol, and the power of gamma that goes with it."""
        log = np.asarray(log_k(each.log_k, celsius)) + each.hydrogen * log_k2(celsius)
        self.constant[at] = 10.0**log / 1000.0
        ligand = CHARGES[each.ligand] + each.hydrogen
        self.power[at] = _GAMMA_POWERS[-2 * CHARGES[each.cation] * ligand]
        self.kind[at] = each.key

    def beside(self, window: slice, gamma: "Array", free: "Array") -> "Array":
        """How much of each ion is paired for each that is free; the last row is of carbonate.

        ``free`` is mmol for each litre of each species, of carbon HCO3, then carbonate.
        """
        paired = np.zeros((self.rows + 1, gamma.size))
        if self.kind:
            strength = self._strength(window, gamma)
            paired[self.cations] = np.einsum("clk,lk->ck", strength, free[self.ligands])
            paired[self.ligands] = np.einsum("clk,ck->lk", strength, free[self.cations])
        return paired

    def amounts(self, gamma: "Array", free: "Array") -> "Iterator[tuple[str, Array]]":
        """Each pair with its amount [mmol/L]."""
        strength = self._strength(slice(None), gamma)
        for (cation, ligand), key in self.kind.items():
            partners = free[self.cations[cation]] * free[self.ligands[ligand]]
            yield key, strength[cation, ligand] * partners

    def _strength(self, window: slice, gamma: "Array") -> "Array":
        two = gamma * gamma
        four = two * two
        powers = np.array([two, four, four * four])
        return np.asarray(self.constant[:, :, window] * powers[self.power])
