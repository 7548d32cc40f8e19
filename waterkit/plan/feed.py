"""The supply that a season is planned with."""

import datetime as dt
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.club.schema import Club, SourceWater
from waterkit.season.supply import UNLIMITED_L
from waterkit.treatment.ion_exchange import Changeout, Vessel, run_by_rating
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import Handed, Process, handed_on, reaching_resin, treat
from waterkit.water.analysis import (
    Completed,
    Load,
    Sample,
    SampleReport,
    complete,
    load,
    report_sample,
)
from waterkit.water.composition import Water, at_temperature, blend, speciation_of
from waterkit.water.history import sample_notes
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Feed:
    """The supply as planned with: every feed sample, the one in force, and it completed.

    ``waters`` are the waters of the supply, each with the day from which it holds; ``bought`` are
    the waters of all samples by name, for what is brought in. ``load`` is that of the supply.
    """

    reports: tuple[SampleReport, ...]
    in_force: Sample
    completed: Completed
    load: Load
    waters: tuple[tuple[dt.date, Water], ...]
    bought: Mapping[str, Water]
    notes: tuple[Note, ...] = ()


def read_feed(club: Club, as_of: dt.date) -> Feed:
    """The feed in force on a day: the newest sample on or before it, else the earliest."""
    source = club.source
    samples = sorted((s for s in club.samples if s.point == "feed"), key=lambda s: s.date)
    used = [sample for sample in samples if sample.source in source.blend] or samples
    celsius = source.temperature_on(as_of)
    past = [sample for sample in used if sample.date <= as_of]
    in_force = past[-1] if past else used[0]
    notes = () if past else (Note("sample-after-the-day", {"sample": in_force.sample}),)
    completed, blended = _completed_on(as_of, used, source, celsius)
    reports = tuple(report_sample(s, source.temperature_on(s.date), club.fouling) for s in samples)
    waters = tuple(
        (s.date, _completed_on(s.date, used, source, source.temperature_on(s.date))[0].water)
        for s in used
    )
    bought = {s.sample: complete(s, celsius).water for s in club.samples}
    notes = (*notes, *blended, *sample_notes(used, as_of, celsius))
    return Feed(reports, in_force, completed, load(completed.water), waters, bought, notes)


def _completed_on(
    day: dt.date, samples: Sequence[Sample], source: SourceWater, celsius: float
) -> tuple[Completed, tuple[Note, ...]]:
    """The water of the supply on a day, blended where the club blends."""
    newest: dict[str, Sample] = {}
    for sample in samples:  # in the order of their dates
        place = sample.source if source.blend else ""
        if sample.date <= day or place not in newest:
            newest[place] = sample
    parts = [complete(sample, celsius) for sample in newest.values()]
    if len(parts) == 1:
        return parts[0], ()
    shares = [source.blend[name] for name in newest]
    water = at_temperature(blend([part.water for part in parts], shares), celsius)
    notes = tuple(dict.fromkeys(note.key for part in parts for note in part.notes))
    told = tuple(note for part in parts for note in part.notes if note.key in notes)
    values = {"samples": tuple(sample.sample for sample in newest.values())}
    return Completed(water, told, speciation_of(water)), (Note("blended", values),)


def lives_by_day(
    days: Sequence[dt.date],
    feed: Feed,
    train: Sequence[Process],
    vessel: Vessel | None,
    changeout: Changeout,
) -> "Array":
    """Litres that a fresh vessel treats until it is changed, on each day's own water [L].

    A day's water is the newest sample on or before it, before the first one the first; what stands
    before the resin treats it first.
    """
    dates = [date for date, _ in feed.waters]
    lives = []
    for _, water in feed.waters:
        treated = treat(water, train, (), changeout, feed.bought)
        lives.append(_life_l(load(reaching_resin(water, train, treated)), vessel, changeout))
    return np.array([lives[_newest(dates, day)] for day in days])


def _newest(dates: Sequence[dt.date], day: dt.date) -> int:
    return max(bisect_right(dates, day) - 1, 0)


def _life_l(water: Load, vessel: Vessel | None, changeout: Changeout) -> float:
    if vessel is None:
        return UNLIMITED_L
    return run_by_rating(vessel, water, changeout).litres_to_change or UNLIMITED_L


def handed_by_day(
    days: Sequence[dt.date],
    feed: Feed,
    train: Sequence[Process],
    source: SourceWater,
    changeout: Changeout,
) -> Handed:
    """What the train takes on each day, at the temperature and with the water of that day."""
    if not any(isinstance(process, ReverseOsmosis | Softener) for process in train):
        return Handed()
    dates = [date for date, _ in feed.waters]
    found: dict[tuple[int, float], Handed] = {}
    by_day = []
    for day in days:
        key = (_newest(dates, day), source.temperature_on(day))
        if key not in found:
            water = at_temperature(feed.waters[key[0]][1], key[1])
            found[key] = handed_on(train, treat(water, train, (), changeout, feed.bought))
        by_day.append(found[key])
    return Handed(*(np.array(list(column)) for column in _columns(by_day)))


def _columns(by_day: Sequence[Handed]) -> Iterator[Iterator[float]]:
    for name in ("feed_per_l", "salt_kg_m3", "most_l_h"):
        yield (float(getattr(handed, name)) for handed in by_day)
