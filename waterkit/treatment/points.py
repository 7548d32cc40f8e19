"""Points of a run: where a value passes a mark, and which points to keep."""

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

MOST_POINTS = 500


def crossing(litres: "Array", values: "Array", mark: float) -> "Array":
    """Litres at which values pass a mark for the first time; infinite if never or from the first.

    between two points the logarithm of the value goes straight

    Parameters
    ----------
    litres : array
        Points, or points and beds, rising [L].
    values : array
        What is watched, of the same shape [1].
    mark : float
        Mark, more than 0 [1].

    Returns
    -------
    litres_l : array
        One number, or one for each bed [L].

    References
    ----------
    None needed: straight between two points.
    """
    over = values >= mark
    place = over.argmax(axis=0)
    never = ~over.any(axis=0) | (place == 0)
    after = np.maximum(place, 1)[np.newaxis]

    def at(rows: "Array", which: "NDArray[np.int_]") -> "Array":
        return np.asarray(np.take_along_axis(rows, which, axis=0)[0])

    logs = np.log(np.maximum(values, 1e-9 * mark) / mark)
    low, high = at(logs, after - 1), at(logs, after)
    share = np.where(never, 0.0, -low / np.where(never, 1.0, high - low))
    start = at(litres, after - 1)
    found = start + share * (at(litres, after) - start)
    return np.asarray(np.where(never, np.inf, found))


def chosen(water: "Array") -> "NDArray[np.int_]":
    """Which points of a run to keep: those between which something changes, and some of all.

    even steps along the way of the logarithms of all amounts, and of the points

    Parameters
    ----------
    water : array
        What leaves: species, points, beds [mmol/L].

    Returns
    -------
    places : array
        At most 500 places for each bed, rising, with both ends [1].

    References
    ----------
    None needed: nothing is worked out.
    """
    points = water.shape[1]
    if points <= MOST_POINTS:
        return np.arange(points)[:, np.newaxis].repeat(water.shape[2], axis=1)
    top = water.max(axis=1, keepdims=True)
    logs = np.log(water + 1e-6 * top + 1e-7)
    change = np.abs(np.diff(logs, axis=1)).sum(axis=0)
    change = change / np.maximum(change.sum(axis=0), 1e-300) + 1.0 / (points - 1)
    way = np.concatenate([np.zeros_like(change[:1]), np.cumsum(change, axis=0)])
    wanted = np.linspace(0.0, 1.0, MOST_POINTS)
    places = np.array([np.searchsorted(row, wanted * row[-1]) for row in way.T]).T
    rise = np.arange(MOST_POINTS)[:, np.newaxis]
    places = np.maximum.accumulate(np.minimum(places, points - 1) - rise, axis=0) + rise
    return np.asarray(np.minimum(places, points - MOST_POINTS + rise))
