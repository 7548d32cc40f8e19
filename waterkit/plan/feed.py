"""The supply that a season is planned with."""

import datetime as dt
from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.club.schema import Club, SourceWater
from waterkit.errors import InputError, Problem
from waterkit.plan.supply_water import feed_samples, in_use, supply_on
from waterkit.treatment.common_train import COMMON_TRAIN, common_vessels
from waterkit.treatment.ion_exchange import Changeout, lead_vessel, run_by_rating
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import (
    Handed,
    Process,
    handed_on,
    treat,
    water_before_resin,
)
from waterkit.water.analysis import (
    Completed,
    Load,
    Sample,
    SampleReport,
    complete,
    load,
    report_sample,
)
from waterkit.water.composition import Water, at_temperature
from waterkit.water.fouling import free_chlorine_mg_l
from waterkit.water.history import sample_notes
from waterkit.water.measured import tells_enough
from waterkit.water.unknowns import LitresOf
from waterkit.working import Note

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Feed:
    """The supply as planned with: every feed sample, the one in force, and it completed.

    ``waters`` are the waters of the supply, each with the day from which it holds; ``bought`` are
    the waters of all samples by name, for what is brought in. ``load`` is that of the supply;
    ``supply`` is the completed water at the temperature that the supply has on the day.
    """

    reports: tuple[SampleReport, ...]
    in_force: Sample
    completed: Completed
    load: Load
    waters: tuple[tuple[dt.date, Water], ...]
    bought: Mapping[str, Water]
    supply: Water
    chlorine_mg_l: float = 0.0
    notes: tuple[Note, ...] = ()


def read_feed(club: Club, as_of: dt.date) -> Feed:
    """The feed in force on a day: the newest sample on or before it, else the earliest.

    A sample that tells too little to plan with is left out, with a note.
    """
    source = club.source
    samples = feed_samples(club.samples)
    used = _planned_with(samples, source)
    celsius = source.temperature_on(as_of)
    past = [sample for sample in used if sample.date <= as_of]
    in_force = past[-1] if past else used[0]
    notes = [] if past else [Note("sample-after-the-day", {"sample": in_force.sample})]
    notes += [
        Note("sample-left-out", {"sample": sample.sample})
        for sample in samples
        if not tells_enough(sample)
    ]
    completed, blended = supply_on(as_of, used, source, celsius)
    bought = {s.sample: complete(s, celsius).water for s in club.samples}
    litres_of = _vessel_litres(club, bought)
    reports = tuple(
        report_sample(s, source.temperature_on(s.date), club.fouling, litres_of) for s in samples
    )
    waters = tuple(
        (s.date, supply_on(s.date, used, source, source.temperature_on(s.date))[0].water)
        for s in used
    )
    return Feed(
        reports,
        in_force,
        completed,
        load(completed.water),
        waters,
        bought,
        at_temperature(completed.water, celsius),
        free_chlorine_mg_l(in_force),
        (*notes, *blended, *sample_notes(used, as_of, celsius)),
    )


def _planned_with(samples: Sequence[Sample], source: SourceWater) -> list[Sample]:
    """The samples of the sources in use that tell enough; a problem where there is none."""
    used = in_use(samples, source)
    found = [sample for sample in used if tells_enough(sample)]
    if not found:
        names = ", ".join(repr(sample.sample) for sample in used)
        message = f"sample {names} cannot be planned with: it tells nothing of the salts in it"
        hint = "write its hardness and alkalinity, or at least its conductivity"
        raise InputError([Problem("water-tests.csv", message, hint)])
    return found


def _vessel_litres(club: Club, bought: Mapping[str, Water]) -> LitresOf | None:
    """Litres of a fresh vessel in the lead, by its rating, on what the train makes of a supply."""
    if club.lacks("train", "vessels", "changeout"):
        return None
    train = club.train or COMMON_TRAIN
    vessel = lead_vessel(club.vessels or common_vessels(train))
    if vessel is None:
        return None

    def litres_of(water: Water) -> float | None:
        reaching = load(water_before_resin(water, train, bought))
        return run_by_rating(vessel, reaching, club.changeout).litres_to_exhaustion

    return litres_of


def lives_by_day(
    days: Sequence[dt.date],
    feed: Feed,
    train: Sequence[Process],
    life_l: Callable[[Water], float],
) -> "Array":
    """Litres that a fresh vessel treats until it is changed, on each day's own water [L].

    ``life_l`` tells them for a water that reaches the vessel. A day's water is the newest sample on
    or before it, before the first one the first; what stands before the resin treats it first.
    """
    dates = [date for date, _ in feed.waters]
    lives = [life_l(water_before_resin(water, train, feed.bought)) for _, water in feed.waters]
    return np.array([lives[newest(dates, day)] for day in days])


def newest(dates: Sequence[dt.date], day: dt.date) -> int:
    """The place of the newest day on or before a day, before the first one the first."""
    return max(bisect_right(dates, day) - 1, 0)


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
        key = (newest(dates, day), source.temperature_on(day))
        if key not in found:
            water = at_temperature(feed.waters[key[0]][1], key[1])
            found[key] = handed_on(train, treat(water, train, (), changeout, feed.bought))
        by_day.append(found[key])
    return Handed(*(np.array(list(column)) for column in _columns(by_day)))


def _columns(by_day: Sequence[Handed]) -> Iterator[Iterator[float]]:
    for name in ("feed_per_l", "salt_kg_m3", "most_l_h"):
        yield (float(getattr(handed, name)) for handed in by_day)
