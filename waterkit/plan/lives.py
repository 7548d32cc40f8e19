"""The life of each vessel between two fills, from the changes that the club wrote down."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from waterkit.plan.metered import Metered
from waterkit.treatment.experience import VesselChange
from waterkit.treatment.ion_exchange import Vessel
from waterkit.working import Note

FIRST = ("lead", "single")
"""Positions whose vessel takes the load; the lag, behind a lead that still holds, takes none."""
MAY_COME_BACK = ("before an event", "end of season")
"""Reasons after which a vessel may be put back as it was taken out."""
SPENT = ("at limit", "damaged")


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days in which a vessel stood first, and what the meter showed at both ends [L].

    Not ``metered`` are litres that the club wrote down instead: they begin at 0.
    """

    start: dt.date
    end: dt.date
    start_l: float
    end_l: float
    metered: bool = True

    @property
    def litres_l(self) -> float:
        """Water that it treated [L]."""
        return self.end_l - self.start_l


@dataclass(frozen=True, slots=True)
class Life:
    """One vessel since it was fresh.

    ``began`` is the day and the total from which it stands first, None while it does not; ``fault``
    tells why its litres are not known; ``fresh`` whether it surely was fresh at its start.
    """

    vessel: str
    stretches: tuple[Stretch, ...] = ()
    began: tuple[dt.date, float | None] | None = None
    fault: Note | None = None
    fresh: bool = True

    def stands_first(self, day: dt.date, total_l: float | None) -> "Life":
        """The same vessel, put in a position where it takes the load."""
        return replace(self, began=(day, total_l))

    def stops(self, day: dt.date, total_l: float | None) -> "Life":
        """The same vessel, taken out, or looked at on a day."""
        if self.began is None:
            return self
        start, start_l = self.began
        values: dict[str, object] = {"vessel": self.vessel, "start": start, "date": day}
        if start_l is None or total_l is None:
            missing = Note("run-without-total", values)
            return replace(self, began=None, fault=self.fault or missing)
        if total_l < start_l:
            falls = Note("run-total-falls", values | {"start_l": start_l, "end_l": total_l})
            return replace(self, began=None, fault=self.fault or falls)
        stretch = Stretch(start, day, start_l, total_l)
        return replace(self, began=None, stretches=(*self.stretches, stretch))


@dataclass(frozen=True, slots=True)
class Past:
    """Lives that ended, each with the change that ended it, and those that still go on."""

    ended: tuple[tuple[Life, VesselChange], ...]
    standing: dict[str, Life]


def follow(changes: Sequence[VesselChange], metered: Metered, vessels: Sequence[Vessel]) -> Past:
    """Follow every vessel through the changes, in the order of their days.

    A vessel that goes from lag to lead on one day goes on; so does one that is swapped without
    being spent. Any other vessel that is put in is fresh.
    """
    standing: dict[str, Life] = {}
    ended: list[tuple[Life, VesselChange]] = []
    for change in sorted(changes, key=lambda change: change.date):
        total_l = change.treated_total_l
        total_l = metered.on(change.date) if total_l is None else total_l
        out = _taken_out(change, standing, metered, vessels)
        life = _moved(change, standing, ended)
        life = life.stops(change.date, total_l) if life else _fresh(change.vessel_in, ended)
        if out is not None:
            ended.append((out.stops(change.date, total_l), change))
        first = change.position in FIRST
        standing[change.position] = life.stands_first(change.date, total_l) if first else life
    return Past(tuple(ended), standing)


def _taken_out(
    change: VesselChange, standing: dict[str, Life], metered: Metered, vessels: Sequence[Vessel]
) -> Life | None:
    """The life of the vessel taken out; None where it has moved to another position already."""
    found = standing.pop(change.position, None)
    if found is not None and found.vessel == change.vessel_out:
        return found
    if any(life.vessel == change.vessel_out for life in standing.values()):
        return None
    return _before_any_change(change, metered, vessels)


def _before_any_change(change: VesselChange, metered: Metered, vessels: Sequence[Vessel]) -> Life:
    """A vessel whose putting in is not among the changes: vessels.csv may tell when."""
    name, day = change.vessel_out, change.date
    for vessel in vessels:
        fresh_on = vessel.fresh_on
        if vessel.vessel == name and fresh_on and fresh_on <= day and change.position in FIRST:
            return Life(name).stands_first(fresh_on, metered.on(fresh_on))
    return Life(name, fault=Note("run-without-start", {"vessel": name, "date": day}))


def _moved(
    change: VesselChange, standing: dict[str, Life], ended: list[tuple[Life, VesselChange]]
) -> Life | None:
    """The life of a vessel that comes from another position; None of one from the store."""
    for position, life in standing.items():
        if life.vessel == change.vessel_in:
            return standing.pop(position)
    for place, (life, last) in enumerate(ended):
        same_day = last.date == change.date and last.position != change.position
        goes_on = last.position == "lag" or last.reason not in SPENT
        if same_day and goes_on and life.vessel == change.vessel_in:
            return ended.pop(place)[0]
    return None


def _fresh(name: str, ended: Sequence[tuple[Life, VesselChange]]) -> Life:
    last = next((change for life, change in reversed(ended) if life.vessel == name), None)
    return Life(name, fresh=last is None or last.reason not in MAY_COME_BACK)


def still_standing(
    past: Past, metered: Metered, vessels: Sequence[Vessel], as_of: dt.date
) -> Iterator[tuple[str, Life]]:
    """Vessels that stand first now, by position, as far as they have come.

    Where no change tells what stands there, vessels.csv does.
    """
    for position in FIRST:
        if position in past.standing:
            yield position, past.standing[position].stops(as_of, metered.latest_l)
            continue
        listed = next((vessel for vessel in vessels if vessel.position == position), None)
        if listed is not None and (life := _listed(listed, metered, as_of)):
            yield position, life


def _listed(vessel: Vessel, metered: Metered, as_of: dt.date) -> Life | None:
    """A vessel that no change tells of: by the meter since it was fresh, else by its own litres."""
    fresh_on = vessel.fresh_on if vessel.fresh_on and vessel.fresh_on <= as_of else None
    start_l = metered.on(fresh_on) if fresh_on else None
    if fresh_on and start_l is not None:
        return Life(vessel.vessel).stands_first(fresh_on, start_l).stops(as_of, metered.latest_l)
    if vessel.litres_already_through_l > 0:
        stretch = Stretch(as_of, as_of, 0.0, vessel.litres_already_through_l, metered=False)
        return Life(vessel.vessel, (stretch,))
    return None
