"""What one vessel still gives, by what its kind has shown: litres left."""

import math
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from waterkit.errors import FieldError
from waterkit.quantities import CAPACITY, VOLUME
from waterkit.treatment.experience import Experience
from waterkit.treatment.ion_exchange import RatedOn, Side, Vessel, litres_by_capacity
from waterkit.treatment.likelihood import TENTHS, survival_quantiles


@dataclass(frozen=True, slots=True)
class OneVessel:
    """Usable capacity of one vessel: median, and what it falls short of in 1 and 9 of 10 cases."""

    low_eq_l: Annotated[float, CAPACITY]
    median_eq_l: Annotated[float, CAPACITY]
    high_eq_l: Annotated[float, CAPACITY]


@dataclass(frozen=True, slots=True)
class LitresLeft:
    """Litres that a vessel still treats: median, and what it falls short of in 1 and 9 of 10."""

    low_l: Annotated[float, VOLUME]
    median_l: Annotated[float, VOLUME]
    high_l: Annotated[float, VOLUME]


def one_vessel(experience: Experience, passed_eq_l: float = 0.0) -> OneVessel:
    """Usable capacity of one vessel that has passed so much of it and is still good.

    P(capacity < c | capacity > passed, runs) = 0.1, 0.5, 0.9

    Parameters
    ----------
    experience : Experience
        What is known of its kind; the vessel's own run so far is one of the runs behind it.
    passed_eq_l : float
        What each litre of its resin has taken so far; 0 for a fresh vessel [eq/L].

    Returns
    -------
    OneVessel
        The whole capacity, what has passed included [eq/L].

    Notes
    -----
    A vessel that has come far is likely to be one of the better ones: what is left is more than the
    usual capacity less what has passed, and never below none.

    References
    ----------
    Conditional probability.
    """
    log_passed = math.log(passed_eq_l) if passed_eq_l > 0 else -math.inf
    points = np.exp(survival_quantiles(experience.posterior, TENTHS, log_passed))
    return OneVessel(*(max(float(point), passed_eq_l) for point in points))


def litres_left(
    experience: Experience,
    resin_l: float,
    taken_eq: float,
    load_meq_l: float,
    passed_eq: float | None = None,
) -> LitresLeft:
    """Litres that a vessel still treats before it reaches its limit.

    litres = 1000 (capacity x resin - taken) / load, with the capacity of one vessel that has
    passed so much

    Parameters
    ----------
    experience : Experience
        What is known of its kind; its own run so far is one of the runs behind it.
    resin_l : float
        Mixed resin in it [L].
    taken_eq : float
        Load that it has taken so far; 0 for a fresh vessel [eq].
    load_meq_l : float
        Load of one litre of the water to come, on the side that is counted [meq/L].
    passed_eq : float or None
        What it had taken when it was last seen to be good, 0 where nobody looked; all that it has
        taken where left out [eq].

    Returns
    -------
    LitresLeft
        10, 50 and 90 % points [L].

    Raises
    ------
    FieldError
        If the water has no load, or the vessel no resin.

    References
    ----------
    Balance of charges; conditional probability.
    """
    if load_meq_l <= 0 or resin_l <= 0:
        raise FieldError("litres left need a vessel with resin and a water with load", "", "resin")
    found = one_vessel(experience, (taken_eq if passed_eq is None else passed_eq) / resin_l)
    whole = np.array([found.low_eq_l, found.median_eq_l, found.high_eq_l]) * resin_l
    left = litres_by_capacity(np.maximum(whole - taken_eq, 0.0), load_meq_l)
    return LitresLeft(*np.asarray(left).tolist())


def as_learned(vessel: Vessel, experience: Experience, side: Side) -> Vessel:
    """The vessel as experience rates it, for whatever reckons with a rating.

    Its usable capacity stands in place of rating or totals, on the side that was counted.

    Parameters
    ----------
    vessel : Vessel
        A vessel of that kind.
    experience : Experience
        What is known of its kind.
    side : str
        The side whose load the runs were counted in: cation or anion.

    Returns
    -------
    Vessel
        The same vessel, rated by the median of one vessel of its kind [eq/L].

    References
    ----------
    None needed: nothing is worked out.
    """
    counts: RatedOn = "total cations" if side == "cation" else "total anions with CO2 and silica"
    return replace(
        vessel, rated_eq_l=one_vessel(experience).median_eq_l, rated_on=counts,
        cation_total_eq_l=None, anion_total_eq_l=None, regenerated_share_percent=None,
        usable_share_percent=None,
    )  # fmt: skip
