"""What the club's own log teaches: changeouts, water meter and feed turned into runs of vessels.

Where a start, an end or a size was not written down the run is left out, and a note says so.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from waterkit.club.schema import Club
from waterkit.plan.behind import read_behind
from waterkit.plan.feed import Feed, newest
from waterkit.plan.lives import Life, Past, follow, still_standing
from waterkit.plan.metered import Metered, read_meter
from waterkit.treatment.experience import (
    CapacityPrior,
    Ended,
    Experience,
    RunSeen,
    VesselChange,
    VesselKind,
    kind_of,
    usable_capacity,
)
from waterkit.treatment.ion_exchange import Changeout, Side, Vessel, run_by_rating
from waterkit.treatment.remaining import LitresLeft, as_learned, litres_left
from waterkit.treatment.train import Process, water_before_resin
from waterkit.water.composition import Load, load
from waterkit.working import Note

NOTHING_L, NOTHING_EQ = 1e-3, 1e-6


@dataclass(frozen=True, slots=True)
class Learned:
    """What the club has learned.

    ``kinds`` are kinds of vessel of which at least one run was seen, ``sides`` the load that their
    runs are counted in; ``standing`` are runs that still go on, by position; ``looked`` are those
    as far as somebody read behind them, good or not; ``notes`` tell of what was left out.
    """

    kinds: Mapping[VesselKind, Experience] = field(default_factory=dict)
    sides: Mapping[VesselKind, Side] = field(default_factory=dict)
    standing: Mapping[str, RunSeen] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    looked: Mapping[str, RunSeen] = field(default_factory=dict)

    def of(self, vessel: Vessel) -> Experience | None:
        """What is known of a vessel's kind; None where no run of it was seen."""
        return self.kinds.get(kind_of(vessel))

    def fresh(self, vessel: Vessel, water: Load) -> LitresLeft | None:
        """Litres of one fresh vessel of this kind in a water [L]; None where nothing is known."""
        return self._left(vessel, water, 0.0, 0.0)

    def left(self, vessel: Vessel, water: Load) -> LitresLeft | None:
        """Litres that what stands in this vessel's position still treats of a water [L].

        None at all where it was read to be past its limit. That it has come far says something
        only as far as somebody looked.
        """
        run, looked = self.standing.get(vessel.position), self.looked.get(vessel.position)
        if looked is not None and looked.ended == "past its limit":
            return LitresLeft(0.0, 0.0, 0.0)
        taken, passed = (one.charge_eq if one else 0.0 for one in (run, looked))
        return self._left(vessel, water, taken, passed)

    def trusted(self, vessel: Vessel) -> Vessel:
        """The vessel with the capacity learned of its kind; as it is where nothing was learned."""
        known = self.of(vessel)
        return as_learned(vessel, known, self.sides[kind_of(vessel)]) if known else vessel

    def standing_now(self, vessels: Sequence[Vessel], water: Load) -> tuple[Vessel, ...]:
        """Vessels with what the log says they have taken, as litres of a water."""
        return tuple(self._standing(vessel, water) for vessel in vessels)

    def _standing(self, vessel: Vessel, water: Load) -> Vessel:
        run = self.standing.get(vessel.position)
        meq_l = _on(self.sides[kind_of(vessel)], water) if kind_of(vessel) in self.sides else 0.0
        if run is None or meq_l <= 0:
            return vessel
        return replace(vessel, litres_already_through_l=1000.0 * run.charge_eq / meq_l)

    def _left(
        self, vessel: Vessel, water: Load, taken_eq: float, passed_eq: float
    ) -> LitresLeft | None:
        known = self.of(vessel)
        if known is None:
            return None
        meq_l = _on(self.sides[kind_of(vessel)], water)
        if meq_l <= 0:
            return None
        return litres_left(known, vessel.resin_l, taken_eq, meq_l, passed_eq)


@dataclass(frozen=True, slots=True)
class _Kind:
    """How runs of one kind of vessel are counted: on which side, and what its rating says."""

    side: Side
    prior: CapacityPrior


@dataclass(frozen=True, slots=True)
class _Book:
    """What runs are worked out with."""

    club: Club
    as_of: dt.date
    vessels: Sequence[Vessel]
    kinds: Mapping[VesselKind, _Kind]
    metered: Metered
    borders: Sequence[dt.date]
    loads: Sequence[Load]

    @property
    def changeout(self) -> Changeout:
        """When the club changes a vessel."""
        return self.club.changeout


def learn(
    club: Club, as_of: dt.date, feed: Feed, train: Sequence[Process], vessels: Sequence[Vessel]
) -> Learned:
    """What changes and readings up to a day tell of each kind of vessel.

    A run is the water that a vessel treated while it stood first, from fresh to its change or to
    the last reading behind it, each litre with the load of the feed that was in force. The train is
    taken as it is now. A file that holds an error is not learned from; a note says so.
    """
    notes = [Note("file-not-learned-from", {"file": f"{part}.csv"})
             for part in ("changeouts", "readings") if club.lacks(part)]  # fmt: skip
    book = _book(club, as_of, feed, train, vessels)
    if club.lacks("changeouts"):  # who stands where is not known then
        return Learned(notes=tuple(notes))
    changes = [change for change in club.changeouts if change.date <= as_of]
    past = follow(changes, book.metered, vessels)
    notes += _told_twice(past, vessels)
    found: list[RunSeen | Note] = [
        one for life, change in past.ended for one in _run(book, life, change, change.date)
    ]
    standing: dict[str, RunSeen] = {}
    looked: dict[str, RunSeen] = {}
    for position, life in still_standing(past, book.metered, vessels, as_of):
        for one in _run(book, life, None, as_of):
            if isinstance(one, Note):
                found.append(one)
                continue
            standing[position] = one
            looked.update((position, seen) for seen in _looked(book, life, position, one))
    notes += [one for one in found if isinstance(one, Note)]
    runs = [one for one in found if isinstance(one, RunSeen)]
    return replace(_learned(book, [*runs, *looked.values()], notes), standing=standing,
                   looked=looked)  # fmt: skip


def _told_twice(past: Past, vessels: Sequence[Vessel]) -> Iterator[Note]:
    """Positions in which the last change put another vessel than vessels.csv tells."""
    listed: dict[str, str] = {vessel.position: vessel.vessel for vessel in vessels}
    for position, life in past.standing.items():
        told = listed.get(position, life.vessel)
        if told != life.vessel:
            values = {"position": position, "listed": told, "changed": life.vessel}
            yield Note("position-told-twice", values)


def _book(
    club: Club, as_of: dt.date, feed: Feed, train: Sequence[Process], vessels: Sequence[Vessel]
) -> _Book:
    loads = [load(water_before_resin(water, train, feed.bought)) for _, water in feed.waters]
    borders = [date for date, _ in feed.waters]
    now = loads[newest(borders, as_of)]
    kinds: dict[VesselKind, _Kind] = {}
    for vessel in vessels:
        rated = run_by_rating(vessel, now, club.changeout)
        if kind_of(vessel) not in kinds and rated.capacity_eq > 0:
            prior = CapacityPrior(rated.capacity_eq / vessel.resin_l)
            kinds[kind_of(vessel)] = _Kind(rated.limiting, prior)
    return _Book(club, as_of, vessels, kinds, read_meter(club, as_of), borders, loads)


def _learned(book: _Book, runs: Sequence[RunSeen], notes: Sequence[Note]) -> Learned:
    by_kind: dict[VesselKind, list[RunSeen]] = defaultdict(list)
    for run in runs:
        kind = _kind(book, run.vessel)
        if kind is not None:
            by_kind[kind].append(run)
    kinds = {kind: usable_capacity(seen, book.kinds[kind].prior) for kind, seen in by_kind.items()}
    sides = {kind: one.side for kind, one in book.kinds.items()}
    return Learned(kinds, sides, notes=tuple(notes))


def _kind(book: _Book, name: str) -> VesselKind | None:
    """The kind of a vessel by its name; one that is not listed is of the only kind there is."""
    kinds = {vessel.vessel: kind_of(vessel) for vessel in book.vessels}
    only = next(iter(book.kinds)) if len(set(kinds.values())) == 1 and book.kinds else None
    kind = kinds.get(name, only)
    return kind if kind in book.kinds else None


def _run(
    book: _Book, life: Life, change: VesselChange | None, day: dt.date
) -> Iterator[RunSeen | Note]:
    """The run of one life, or a note on why it is left out; nothing of one that never stood first.

    ``change`` is what ended it, None while it stands.
    """
    values = {"vessel": life.vessel, "date": day}
    kind = _kind(book, life.vessel)
    if life.fault is not None:
        yield life.fault
    elif change is not None and change.reason == "damaged":
        yield Note("run-of-damaged-vessel", values)
    elif kind is None:
        yield Note("run-of-unknown-vessel", values)
    elif (litres := sum(stretch.litres_l for stretch in life.stretches)) > NOTHING_L:
        charge = sum(_charges_eq(book, life, book.kinds[kind].side))
        if charge <= NOTHING_EQ:
            yield Note("run-without-load", values)
            return
        if life.vessel not in {vessel.vessel for vessel in book.vessels}:
            yield Note("vessel-taken-as-like-others", {"vessel": life.vessel})
        ended = "still good" if change is None else _ended(change, book.changeout)
        if ended == "at its limit" and not life.fresh:
            yield Note("run-maybe-not-fresh", values)
            ended = "still good"
        last = life.stretches[-1]
        began_l = last.start_l if last.metered else None
        yield RunSeen(life.vessel, kind.resin_l, litres, charge, ended, day, began_l)


def _looked(book: _Book, life: Life, position: str, run: RunSeen) -> Iterator[RunSeen]:
    """A run that still goes on, up to the last reading behind it; nothing where nobody looked.

    What is read while a fresh vessel is rinsed in says nothing of what it gives.
    """
    last, mark = life.stretches[-1], book.changeout.conductivity_us_cm
    if mark is None or not last.metered:
        return
    times, totals, at_25 = read_behind(book.club, book.as_of, position, book.metered)
    rinsed_l = last.start_l + book.club.flush.fresh_bv * run.resin_l
    told = np.isfinite(at_25) & (totals > last.start_l) & (totals <= last.end_l)
    told &= (times >= np.datetime64(last.start, "D")) & ((at_25 <= mark) | (totals > rinsed_l))
    if not told.any():
        return
    total, shown = float(totals[told][-1]), float(at_25[told][-1])
    until = times[told][-1].astype("datetime64[D]").astype(dt.date)
    seen = replace(last, end=max(until, last.start), end_l=total)
    so_far = replace(life, stretches=(*life.stretches[:-1], seen))
    kind = _kind(book, life.vessel)
    charge = sum(_charges_eq(book, so_far, book.kinds[kind].side)) if kind else 0.0
    if charge > NOTHING_EQ:
        litres = sum(stretch.litres_l for stretch in so_far.stretches)
        ended: Ended = "past its limit" if shown > mark else "still good"
        yield replace(run, litres_l=litres, charge_eq=charge, ended=ended, until=until)


def _charges_eq(book: _Book, life: Life, side: Side) -> Iterator[float]:
    """The load of each water that a life treated [eq]."""
    for stretch in life.stretches:
        span = (stretch.start_l, stretch.end_l)
        # The first water of all holds before its own day too.
        litres = book.metered.parted(stretch.start, stretch.end, span, book.borders[1:])
        for part, water in zip(litres, book.loads, strict=True):
            yield part * _on(side, water) / 1000.0


def _on(side: Side, water: Load) -> float:
    return float(water.cation_meq_l if side == "cation" else water.anion_meq_l)


def _ended(change: VesselChange, changeout: Changeout) -> Ended:
    """How a run ended: early by whatever reason, unless the last reading was above the limit."""
    if change.reason == "at limit":
        return "at its limit"
    mark, last = changeout.conductivity_us_cm, change.last_reading_us_cm
    if last is not None and mark is not None and last > mark:
        return "past its limit"
    return "still good"
