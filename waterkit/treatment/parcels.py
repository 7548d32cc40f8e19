"""Parcels of water travel through cells of resin, one cell a step, all cells of a step at once.

A parcel comes into balance with the resin of a cell and moves on as a whole:

    held after + volume x water after = held before + volume x water before

A parcel of one cell volume is what a shift of a cell-by-cell column does; a larger one is an
implicit step. While one parcel stands in the first cell, the one before it stands in the second,
and so on: a front of parcels, so that all cells of a step are solved together, and only those where
the water that comes is not the one that the resin is used to.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from waterkit.treatment.exchange import unknown_water

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.treatment.exchange import Cells, Chemistry

    Array = NDArray[np.float64]

Tell = Callable[[float], None]
"""Is told the share of a run that is done."""
SAME, TRACE_MMOL_L = 1e-6, 1e-8
"""Water that differs less from the last one of a cell passes it unchanged."""
RINSING, ROUNDS = 1e-3, 6
"""Water that stands: its share of a parcel, and how often its activity coefficients are renewed."""
_FIRST_H, _FIRST_MOL_L, _LEAST = 1e-7, 1e-3, 1e-3


class Front:
    """Cells one after another and the parcels in them, flattened: cell by cell, bed by bed."""

    def __init__(self, cells: "Cells", held: "Array", guess: "Array", beds: int) -> None:
        self.cells, self.held, self.beds = cells, held, beds
        self.count = held.shape[1] // beds
        self.everywhere = bool(np.all(cells.hold > 0.0))
        self.logs = guess
        self.known = unknown_water(*held.shape)
        self.water = np.zeros_like(held)
        self.own = np.zeros_like(held)  # what each cell last made of a parcel

    def stand(self, water: "Array | None") -> "Array":
        """Water that stands in the pores: as given, else pure water as the resin turns it."""
        size = RINSING if water is None else 1.0
        total = self.held / size
        if water is not None:
            total += water[:, np.newaxis].repeat(self.count, 1).reshape(total.shape)
        share = np.full(self.held.shape[1], 1.0 / size)
        for _ in range(ROUNDS):
            self.own, self.known = self.cells.settle(
                slice(None), total, share, self.logs, self.known
            )
        return self.own[:, -self.beds :].copy()

    def run(self, feed: "Array", sizes: "Array", tell: Tell | None = None) -> "Array":
        """Send parcels of the feed through all cells; what left: parcels, species, beds."""
        parcels, outlet = len(sizes), np.empty((len(sizes), *feed.shape))
        for step in range(parcels + self.count - 1):
            first, last = max(0, step - parcels + 1), min(self.count, step + 1)
            self._advance(feed, sizes, step, first, last)
            if step >= self.count - 1:
                outlet[step - self.count + 1] = self.water[:, -self.beds :]
            if tell is not None:
                tell((step + 1) / (parcels + self.count - 1))
        return outlet

    def _advance(self, feed: "Array", sizes: "Array", step: int, first: int, last: int) -> None:
        """All parcels move on by one cell and meet its resin."""
        beds = self.beds
        self.water[:, beds:] = self.water[:, :-beds].copy()
        self.water[:, :beds] = feed
        low, high = self._changed(first, last)
        if low == high:
            return
        window = slice(low * beds, high * beds)
        size = sizes[step - high + 1 : step - low + 1][::-1].repeat(beds)
        share = 1.0 / size
        total = self.held[:, window] * share + self.water[:, window]
        logs = self.logs[:, window]
        water, self.known[:, window] = self.cells.settle(
            window, total, share, logs, self.known[:, window]
        )
        self.water[:, window] = self.own[:, window] = water
        self.held[:, window] = (total - water) * size
        if not self.everywhere:  # rounding is nothing that a resin holds
            self.held[:, window][self.cells.hold[:, window] <= 0.0] = 0.0

    def _changed(self, first: int, last: int) -> tuple[int, int]:
        """The cells between which the water that comes is new to the resin."""
        window = slice(first * self.beds, last * self.beds)
        own = self.own[:, window]
        new = np.abs(self.water[:, window] - own) > SAME * own + TRACE_MMOL_L
        cells = np.flatnonzero(new.any(axis=0)) // self.beds
        return (first + int(cells[0]), first + int(cells[-1]) + 1) if cells.size else (0, 0)


def parcel_sizes(parcels: float, grow_from: float) -> "Array":
    """Sizes of the parcels of a run: at first 1, from a place on as much as has passed tells.

    size = max(1, passed / grow_from)

    Parameters
    ----------
    parcels : float
        What shall pass, in parcels of size 1 [1].
    grow_from : float
        What has passed when parcels begin to grow; infinite if never [1].

    Returns
    -------
    sizes : array
        Size of each parcel [1].

    Examples
    --------
    >>> parcel_sizes(6.0, 2.0).tolist()
    [1.0, 1.0, 1.5, 2.25, 3.375]

    References
    ----------
    None needed: a choice of steps.
    """
    even = np.ones(int(np.ceil(max(min(parcels, grow_from), 1.0))))
    if parcels <= len(even):
        return even
    ratio = 1.0 + 1.0 / len(even)
    more = int(np.ceil(np.log(parcels / len(even)) / np.log(ratio)))
    return np.concatenate([even, ratio ** np.arange(1, more + 1)])


def first_guess(
    fractions: "Array", chemistry: "Chemistry", log_k: "Array", bare: "Array"
) -> "Array":
    """Logarithms of x, y and h that resins of this make-up may have; the search starts there."""
    guess = np.zeros((3, fractions.shape[1]))
    guess[2] = np.log(_FIRST_H)
    for side, rows in enumerate(chemistry.sides > 0):
        shares, charge = fractions[rows], chemistry.charge[rows]
        own = 1.0 - shares.sum(axis=0)
        guess[side] = np.log(np.maximum(own, _LEAST)) - np.log(_FIRST_H)
        if rows.any():
            most = shares.argmax(axis=0)
            logs = np.log(np.maximum(shares.max(axis=0), _LEAST) / _FIRST_MOL_L)
            by_ion = (logs - np.log(10.0) * log_k[rows][most]) / charge[most]
            guess[side] = np.where(own > _LEAST, guess[side], by_ion)
    guess[:2][bare > 0] = 0.0
    return guess
