"""Beds of resin as a column of cells: what leaves them, litre by litre.

Each cell is in equilibrium: no kinetics, no channels, no fouling, so that an ideal bed comes out,
sharper than a real one. Waters and beds may be arrays: hundreds of beds are run at once.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from waterkit.errors import FieldError
from waterkit.treatment.bed import Bed, FeedWater, check_beds, held_at_first, loads_meq_l
from waterkit.treatment.breakthrough import ColumnRun
from waterkit.treatment.exchange import CATIONS, CHARGE, SPECIES, Cells, Chemistry
from waterkit.treatment.leaving import leaving
from waterkit.treatment.parcels import Front, Tell, first_guess, parcel_sizes
from waterkit.treatment.points import chosen
from waterkit.treatment.selectivity import COMMON_RESINS, Selectivity

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

    Array = NDArray[np.float64]

PARCELS_PER_CELL = 14.0
"""Parcels in which the capacity of one cell runs through it; more of them move no figure much."""
MARGIN, LONGEST_RUN = 1.25, 6.0
"""How far a run goes beyond exhaustion, and at most, in runs of the side that is spent first."""
BEDS_AT_ONCE = 250
"""Beds that are run together, so that the arrays stay near the processor."""
_25_C, _LN_H = 25.0, -16.0


@dataclass(frozen=True, slots=True)
class _Column:
    """Beds in series and their feed as arrays: (species,) cells, beds."""

    present: tuple[str, ...]
    feed: "Array"
    temperature_c: "Array"
    cation_meq: "Array"
    anion_meq: "Array"
    cell_pore_l: "Array"
    held_mmol: "Array"
    scalar: bool

    @property
    def pore_l(self) -> "Array":
        """Water in all pores, for each bed [L]."""
        return np.asarray(self.cell_pore_l.sum(axis=0))

    def some(self, beds: slice) -> "_Column":
        """The column with some of its beds."""
        arrays = {
            name: getattr(self, name)[..., beds]
            for name in self.__slots__
            if name not in ("present", "scalar")
        }
        return replace(self, **arrays)


def run_column(
    beds: Sequence[Bed],
    feed: FeedWater,
    *,
    litres: "Numeric | None" = None,
    parcels_per_cell: float = PARCELS_PER_CELL,
    parcel_cells: float | None = None,
    standing: FeedWater | None = None,
    resins: Selectivity = COMMON_RESINS,
    tell: Tell | None = None,
) -> ColumnRun:
    """Run a water through beds in series, to exhaustion or for so many litres.

    held after + V water after = held before + V water before, in each cell for each parcel of V

    Parameters
    ----------
    beds : sequence of Bed
        In the order the water runs: one mixed bed; a cation and an anion bed; a lead and a lag.
    feed : FeedWater
        The water, the same all the time [mmol/L].
    litres : float or array or None
        What shall leave the column; None to exhaustion [L].
    parcels_per_cell : float
        Parcels in which the capacity of one cell runs through it [1].
    parcel_cells : float or None
        Size of every parcel in pores of the first cell instead: 1 is a shift by one cell [1].
    standing : FeedWater or None
        Water in the pores at the beginning; None for pure water that the beds were rinsed with.
    resins : Selectivity
        Constants of the resins.
    tell : callable or None
        Is told the share of the run that is done, for progress.

    Returns
    -------
    ColumnRun
        What leaves, against litres [L].

    Raises
    ------
    FieldError
        If the beds can take nothing, the feed holds nothing or is too salty, or nothing shall
        leave.

    Notes
    -----
    Equilibrium cells: an ideal bed. Constants of the resins are those of 25 degC at any
    temperature. The water that stands in the pores leaves first and counts. Parcels grow beyond
    the run of the side that is spent first, in step with the slower fronts that are left. To
    exhaustion means until both sides let the feed's strong ions pass, at most six runs of the side
    that is spent first.

    References
    ----------
    D. L. Parkhurst, C. A. J. Appelo, PHREEQC version 3, U.S. Geological Survey, 2013: advection
    through cells, exchange after Gaines and Thomas.
    """
    column = _column(beds, feed, standing)
    short, longest = _runs_l(column, loads_meq_l(feed))
    wanted = longest if litres is None else np.broadcast_to(litres, short.shape) - column.pore_l
    if np.any(np.add(wanted, column.pore_l) <= 0.0):
        raise FieldError("no water runs through the column", "write more than 0 L", "litres")
    parcel_l = _parcel_l(column, short, parcels_per_cell, parcel_cells)
    grow_from = np.inf if parcel_cells else float(np.max(short / parcel_l))
    sizes = parcel_sizes(float(np.max(wanted / parcel_l)), grow_from)
    found: list[tuple[Array, Array, Array]] = []
    groups = _groups(len(parcel_l))
    for some in groups:
        front = _front(column.some(some), resins, parcel_l[some])
        stood = front.stand(None if standing is None else _amounts(column, standing)[:, some])
        outlet = front.run(column.feed[:, some], sizes, _part(tell, len(found), len(groups)))
        found.append((stood, outlet, front.held.reshape(len(stood), -1, stood.shape[1])))
    stood, outlet, held = (np.concatenate(parts, axis=-1) for parts in zip(*found, strict=True))
    return _told(column, (beds, feed, resins), (parcel_l, sizes), stood, outlet, held * parcel_l)


def _groups(beds: int) -> list[slice]:
    """Beds in groups that are run together."""
    return [slice(first, first + BEDS_AT_ONCE) for first in range(0, beds, BEDS_AT_ONCE)]


def _part(tell: Tell | None, place: int, groups: int) -> Tell | None:
    """Progress of one group as a share of all."""
    return None if tell is None else lambda share: tell((place + share) / groups)


def _column(beds: Sequence[Bed], feed: FeedWater, standing: FeedWater | None) -> _Column:
    check_beds(beds)
    waters = [feed.mmol_l, *([standing.mmol_l] if standing else [])]
    formed = [each for bed in beds for each in (bed.cation_form, bed.anion_form)]
    held = [bed.held_mmol for bed in beds if bed.held_mmol is not None]
    present = tuple(
        key
        for key in SPECIES
        if any(np.any(each.get(key, 0.0)) for each in [*waters, *formed, *held])
    )
    shape = _shape(beds, [feed.temperature_c], [*waters, *formed])
    count = shape[0] if shape else 1

    def cells(sizes: "Sequence[Numeric]") -> "Array":
        pairs = zip(beds, sizes, strict=True)
        return np.concatenate(
            [np.full((bed.cells, count), size / bed.cells) for bed, size in pairs]
        )

    return _Column(
        present,
        np.array([np.broadcast_to(feed.mmol_l.get(key, 0.0), count) for key in present]),
        np.full(count, feed.temperature_c, dtype=float),
        1000.0 * cells([bed.cation_eq for bed in beds]),
        1000.0 * cells([bed.anion_eq for bed in beds]),
        cells([bed.pore_l for bed in beds]),
        np.concatenate([held_at_first(bed, present, count) for bed in beds], axis=1),
        not shape,
    )


def _shape(
    beds: Sequence[Bed], numbers: "list[Numeric]", tables: "list[Mapping[str, Numeric]]"
) -> tuple[int, ...]:
    """How many beds are run at once; nothing for one that is told by plain numbers."""
    numbers = [*numbers, *(amount for each in tables for amount in each.values())]
    numbers += [size for bed in beds for size in (bed.cation_eq, bed.anion_eq, bed.pore_l)]
    held = [amount.shape[1:] for bed in beds for amount in (bed.held_mmol or {}).values()]
    return np.broadcast_shapes(*map(np.shape, numbers), *held)


def _amounts(column: _Column, water: FeedWater) -> "Array":
    count = len(column.temperature_c)
    return np.array([np.broadcast_to(water.mmol_l.get(key, 0.0), count) for key in column.present])


def _runs_l(column: _Column, loads: "tuple[Numeric, Numeric, Numeric]") -> "tuple[Array, Array]":
    """Litres to the end of the side that is spent first, and to exhaustion, the pores left out."""
    cations, anions, strong = loads
    capacity = [column.cation_meq.sum(axis=0), column.anion_meq.sum(axis=0)]
    with np.errstate(divide="ignore", invalid="ignore"):
        first = [np.where((size > 0) & np.greater(load, 0.0), size / load, np.inf)
                 for size, load in zip(capacity, (cations, anions), strict=True)]  # fmt: skip
        last = [np.where((size > 0) & np.greater(load, 0.0), size / load, 0.0)
                for size, load in zip(capacity, (cations, strong), strict=True)]  # fmt: skip
    short = np.minimum(*first)
    if not np.all(np.isfinite(short)):
        raise FieldError("the feed holds nothing that these resins take", "check beds and water")
    return short, np.clip(MARGIN * np.maximum(*last), 2.0 * short, LONGEST_RUN * short)


def _parcel_l(
    column: _Column, short: "Array", per_cell: float, parcel_cells: float | None
) -> "Array":
    """Size of the first parcels, for each bed [L]."""
    if parcel_cells is not None:
        return np.asarray(parcel_cells * column.cell_pore_l[0])
    filled = ((column.cation_meq > 0) | (column.anion_meq > 0)).sum(axis=0)
    return np.asarray(short / filled / per_cell)


def _front(column: _Column, resins: Selectivity, parcel_l: "Array") -> Front:
    """The cells as parcels of that size see them."""
    cells, beds = column.cation_meq.shape
    cation = (column.cation_meq / parcel_l).ravel()
    anion = (column.anion_meq / parcel_l).ravel()
    chemistry = Chemistry(column.present, column.temperature_c)
    known = [resins.log_k.get(key, -np.inf) for key in column.present]
    constants = 10.0 ** np.array(known) / chemistry.charge
    sites = np.array([cation if key in CATIONS else anion for key in column.present])
    held = (column.held_mmol / parcel_l).reshape(len(column.present), -1)
    fractions = held * chemistry.charge[:, np.newaxis] / np.where(sites > 0, sites, np.inf)
    solver = Cells(
        chemistry, np.tile(np.arange(beds), cells), constants[:, np.newaxis] * sites, cation, anion,
        resins.takes_hydrogen,
    )  # fmt: skip
    log_k = np.where(np.isfinite(known), known, 0.0)
    guess = first_guess(fractions, chemistry, log_k, solver.bare)
    return Front(solver, held, guess, beds)


def _told(
    column: _Column, given: "tuple[Sequence[Bed], FeedWater, Selectivity]",
    parcels: "tuple[Array, Array]", stood: "Array", outlet: "Array", held: "Array",
) -> ColumnRun:  # fmt: skip
    """What a run tells, thinned to the points between which something changes."""
    beds, feed, resins = given
    litres, water = _points(column, parcels, stood, outlet)
    flat, celsius = (
        water.reshape(len(column.present), -1),
        np.tile(column.temperature_c, len(litres)),
    )
    inside = leaving(column.present, flat, celsius, np.full_like(celsius, _LN_H))
    warm = leaving(column.present, flat, np.full_like(celsius, _25_C), -np.log(10.0) * inside.ph)

    def shaped(values: "Array") -> "Array":
        rows = values.reshape(litres.shape)
        return rows[:, 0] if column.scalar else rows

    return ColumnRun(
        tuple(_after(beds, column, held)), feed, resins, shaped(litres),
        {key: shaped(row) for key, row in zip(column.present, water, strict=True)},
        shaped(inside.ph), shaped(inside.conductivity_us_cm), shaped(warm.conductivity_us_cm),
        _error(column, outlet, parcels, held), (*feed.notes, *resins.notes),
    )  # fmt: skip


def _points(
    column: _Column, parcels: "tuple[Array, Array]", stood: "Array", outlet: "Array"
) -> "tuple[Array, Array]":
    """Litres and water of the points to keep: what stood in the pores, then each parcel."""
    parcel_l, sizes = parcels
    pores = column.pore_l
    passed = pores + np.outer(np.cumsum(sizes) - sizes / 2.0, parcel_l)
    litres = np.concatenate([[0.0 * pores, pores, pores], passed])
    water = np.concatenate([[stood, stood, outlet[0]], outlet]).transpose(1, 0, 2)
    places = chosen(water)
    return (
        np.take_along_axis(litres, places, axis=0),
        np.take_along_axis(water, places[np.newaxis], axis=1),
    )


def _error(
    column: _Column, outlet: "Array", parcels: "tuple[Array, Array]", held: "Array"
) -> float:
    """What is missing of any species, as a share of the charge that came in."""
    parcel_l, sizes = parcels
    came = column.feed * parcel_l * sizes.sum()
    left = np.einsum("psb,p->sb", outlet, sizes) * parcel_l
    stayed = (held - column.held_mmol).sum(axis=1)
    charge = np.array([CHARGE[key] for key in column.present])[:, np.newaxis]
    missing = np.abs(came - left - stayed) * charge
    return float(np.max(missing.max(axis=0) / (came * charge).sum(axis=0)))


def _after(beds: Sequence[Bed], column: _Column, held: "Array") -> list[Bed]:
    """The beds as the run leaves them."""
    found, first = [], 0
    for bed in beds:
        rows = held[:, first : first + bed.cells]
        amounts = {
            key: row[:, 0] if column.scalar else row
            for key, row in zip(column.present, rows, strict=True)
        }
        found.append(replace(bed, cation_form={}, anion_form={}, held_mmol=amounts))
        first += bed.cells
    return found
