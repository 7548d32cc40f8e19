"""What the vessel that stands first still gives, and what is to be read behind it by now.

Without a log the rating tells it, quickly; with one, what was learned and the bed as a column.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from waterkit.club.schema import Club
from waterkit.errors import FieldError
from waterkit.plan.lately import Lately
from waterkit.treatment.ion_exchange import ResinRun, Vessel, run_by_rating
from waterkit.treatment.processes import Process
from waterkit.treatment.train import water_before_resin
from waterkit.water.composition import Water, load

SAMPLES_ONLY = ("samples", "source", "fouling")


@dataclass(frozen=True, slots=True)
class ResinLeft:
    """Litres until the vessel that stands first is changed, and what its outlet may show by now.

    ``low_l`` and ``high_l`` are what it falls short of in 1 and in 9 of 10 cases, None where
    nothing was learned; ``expected_25_us_cm`` is None where nobody knows.
    """

    litres_l: float
    low_l: float | None = None
    high_l: float | None = None
    expected_25_us_cm: float | None = None


def resin_left(
    club: Club,
    lately: Lately,
    vessel: Vessel | None,
    feed: Water | None,
    train: tuple[Process, ...],
    bought: Mapping[str, Water],
) -> ResinLeft | None:
    """What is left of the vessel that stands first.

    None where no vessel or no water is known, or the log cannot be read.
    """
    if vessel is None or feed is None or lately.unread or club.lacks("changeout", "train"):
        return None
    try:
        water = water_before_resin(feed, train, bought)
        if has_log(club) and not club.lacks(*SAMPLES_ONLY):
            return _by_log(club, lately, vessel, water, train)
        return _by_rating(lately, vessel, run_by_rating(vessel, load(water), club.changeout))
    except FieldError:
        return None


def has_log(club: Club) -> bool:
    """Whether the club has written down any change of a vessel."""
    return not club.lacks("changeouts") and bool(club.changeouts)


def _by_rating(lately: Lately, vessel: Vessel, run: ResinRun) -> ResinLeft | None:
    if run.litres_to_change is None:
        return None
    treated = lately.treated_l
    spent = vessel.litres_already_through_l if treated is None else treated
    return ResinLeft(max(run.litres_to_change - spent, 0.0))


def _by_log(
    club: Club, lately: Lately, vessel: Vessel, water: Water, train: tuple[Process, ...]
) -> ResinLeft | None:
    """By what was learned, as the season reckons; the change comes before the end of the run.

    Never more than the usual vessel has left: a litre treated makes no resin.
    """
    from waterkit.plan.bed import bed_run, resin_run
    from waterkit.plan.experience import learn
    from waterkit.plan.feed import read_feed
    from waterkit.treatment.curve_watch import most_expected, stretch_of
    from waterkit.treatment.vessel_run import VesselRun

    day = lately.day
    learned = learn(club, day, read_feed(club, day), train, club.vessels or (vessel,))
    run = resin_run(water, vessel, learned.trusted(vessel), club.changeout)
    left, by_rating = learned.left(vessel, load(water)), _by_rating(lately, vessel, run)
    if by_rating is None or run.litres_to_change is None or run.litres_to_exhaustion is None:
        return None
    treated, expected = lately.treated_l, None
    found = bed_run(water, vessel, run) if treated is not None else None
    if isinstance(found, VesselRun) and treated is not None:
        curve = (found.run.litres, found.run.conductivity_25_us_cm)
        if vessel.position != "single":  # what is read at the outlet has passed the lag
            curve = (curve[0], np.full_like(curve[1], curve[1][0]))
        expected = most_expected(treated, curve, stretch_of(learned.of(vessel)))
    if left is None:
        return ResinLeft(by_rating.litres_l, expected_25_us_cm=expected)
    early = run.litres_to_exhaustion - run.litres_to_change
    middle, low, high = (
        max(litres - early, 0.0) for litres in (left.median_l, left.low_l, left.high_l)
    )
    middle = min(middle, by_rating.litres_l)
    return ResinLeft(middle, min(low, middle), max(high, middle), expected)
