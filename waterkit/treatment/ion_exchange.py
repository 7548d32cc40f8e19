"""Mixed-bed vessels: capacity, load and litres."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Literal

from waterkit.errors import FieldError
from waterkit.quantities import CAPACITY, PERCENT, VOLUME
from waterkit.water.analysis import Load
from waterkit.working import COMMON_PRACTICE, Basis, Given, Note, Working

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

# Common practice, no source: about 9 kilograins as CaCO3 per cubic foot of regenerated mixed resin.
REGENERATED_EQ_L = 0.41
NEW_EQ_L = 0.46
"""New resin that a club fills in itself: 10 of the same unit. Common practice, no source."""
ASSUMED_REGENERATED_PERCENT = 55.0
ASSUMED_USABLE_PERCENT = 100.0


Position = Literal["lead", "lag", "single", "spare"]
RatedOn = Literal["total anions with CO2 and silica", "total cations", "unknown"]
Service = Literal["exchanged", "rented", "owned and regenerated off site", "self-filled"]


@dataclass(frozen=True, slots=True)
class Endpoint:
    """A mark in a run: what is watched, and at which value the vessel is changed or rated.

    ``value`` is uS/cm at 25 degC for conductivity, mg/L as SiO2 for silica, and a share of the
    rated litres in hundredths for litres.
    """

    watched: Literal["conductivity", "silica", "litres"]
    value: float


@dataclass(frozen=True, slots=True)
class Vessel:
    """One resin vessel, described by its rating or by its capacities, not by both.

    Parameters
    ----------
    vessel : str
        Name of the vessel.
    position : str
        Where it stands: lead, lag, single or spare.
    resin_l : float
        Mixed resin in the vessel, moist and settled [L].
    rated_eq_l : float or None
        Rated capacity per litre of mixed resin [eq/L].
    rated_on : str
        The load that the rating counts.
    rated_to : Endpoint or None
        Where the rated run ends.
    cation_total_eq_l, anion_total_eq_l : float or None
        Total capacity of each resin by itself [eq/L].
    cation_share_percent : float
        Share of the cation resin in the volume of the mixed bed [%].
    regenerated_share_percent, usable_share_percent : float or None
        Share of the total capacity that is regenerated, and share of that which is used [%].
    litres_already_through_l : float
        Water that went through since it was fresh [L].
    rent : str
        The item of items.csv that is its rent.
    deposit : money
        What its owner holds of the club's money until it goes back.
    supplier : str
        Who exchanges it; what is learned of one supplier's vessels holds for its other ones.
    """

    vessel: str
    position: Position
    resin_l: Annotated[float, VOLUME]
    service: Service = "exchanged"
    rated_eq_l: Annotated[float, CAPACITY] | None = None
    rated_on: RatedOn = "unknown"
    rated_to: Endpoint | None = None
    cation_total_eq_l: Annotated[float, CAPACITY] | None = None
    anion_total_eq_l: Annotated[float, CAPACITY] | None = None
    cation_share_percent: Annotated[float, PERCENT] = 40.0
    regenerated_share_percent: Annotated[float, PERCENT] | None = None
    usable_share_percent: Annotated[float, PERCENT] | None = None
    fresh_on: dt.date | None = None
    litres_already_through_l: Annotated[float, VOLUME] = 0.0
    rent: str = ""
    deposit: Decimal = Decimal(0)
    supplier: str = ""


@dataclass(frozen=True, slots=True)
class Changeout:
    """When a vessel is changed: at the first of these marks, read at the lead outlet."""

    at: tuple[Endpoint, ...] = (Endpoint("litres", 90.0),)
    spare: int | None = None

    @property
    def conductivity_us_cm(self) -> float | None:
        """The lowest conductivity among the marks [uS/cm]."""
        marks = (mark.value for mark in self.at if mark.watched == "conductivity")
        return min(marks, default=None)


@dataclass(frozen=True, slots=True)
class Capacity:
    """What one fresh vessel can take [eq]: by its rating, or by each resin; the others are None."""

    cation_eq: float | None
    anion_eq: float | None
    rated_eq: float | None
    basis: Basis = "quoted"
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class ResinRun:
    """One run of a fresh vessel in the lead, by its rating.

    Parameters
    ----------
    limiting : str
        The side that ends the run, or that the rating counts: cation or anion.
    load_meq_l : float
        What that side takes from one litre of water [meq/L].
    capacity_eq : float
        What that side can take [eq].
    litres_to_exhaustion : float or None
        Litres until the rated end; None where there is no load [L].
    litres_to_change : float or None
        Litres until the vessel is changed; None where there is no load [L].
    """

    limiting: Literal["cation", "anion"]
    load_meq_l: float
    capacity_eq: float
    litres_to_exhaustion: float | None
    litres_to_change: float | None
    rated_to: Endpoint | None
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


def lead_vessel(vessels: Sequence[Vessel]) -> Vessel | None:
    """The vessel whose run decides: the one in the lead, else the only one."""
    standing = {vessel.position: vessel for vessel in vessels}
    return standing.get("lead") or standing.get("single")


def check_vessel(vessel: Vessel) -> None:
    """Refuse a vessel that is described twice, or by half.

    Raises
    ------
    FieldError
        If it has a rating and totals, one total only, no resin, a capacity of nothing, or a rated
        end that no meter and no test shows.
    """
    totals = (vessel.cation_total_eq_l, vessel.anion_total_eq_l)
    told = [total for total in totals if total is not None]
    name = f"vessel {vessel.vessel!r}"
    if vessel.resin_l <= 0:
        raise FieldError(f"{name} holds no resin", "write how many litres it holds", "resin")
    if vessel.rated_eq_l is not None and told:
        hint = "leave either the rating or both totals empty"
        raise FieldError(f"{name} has a rating and totals", hint, "rated")
    if len(told) == 1:
        missing = "cation total" if totals[0] is None else "anion total"
        hint = "write both totals, or a rating instead"
        raise FieldError(f"{name} has one total only", hint, missing)
    for value, column in ((vessel.rated_eq_l, "rated"), (min(told, default=None), "cation total")):
        if value is not None and value <= 0:
            raise FieldError(f"{name} has no capacity", "write more than 0", column)
    end = vessel.rated_to
    if end is not None and (end.watched == "litres" or end.value <= 0):
        hint = "write what is read where the run ends: 10 uS/cm, or silica 0.1 mg/L"
        raise FieldError(f"{name}: a rated run does not end there", hint, "rated to")


def vessel_capacity(vessel: Vessel) -> Capacity:
    """What one fresh vessel can take.

    rating x resin; or for each resin total x its share x resin x regenerated share x usable share

    Parameters
    ----------
    vessel : Vessel
        A vessel, described by its rating, by its totals, or by neither.

    Returns
    -------
    Capacity
        Charge that it takes [eq].

    Raises
    ------
    FieldError
        See :func:`check_vessel`.

    Notes
    -----
    Without any description 0.41 eq/L is assumed, as for a regenerated vessel, and 0.46 for one that
    the club fills with new resin itself; without a regenerated share 55 %, without a usable share
    all of it. A note tells each.

    Examples
    --------
    >>> vessel_capacity(Vessel("V1", "lead", 100.0, rated_eq_l=0.4)).rated_eq
    40.0

    References
    ----------
    Common practice, no source.
    """
    check_vessel(vessel)
    if vessel.cation_total_eq_l is not None and vessel.anion_total_eq_l is not None:
        return _by_totals(vessel, vessel.cation_total_eq_l, vessel.anion_total_eq_l)
    if vessel.rated_eq_l is not None:
        return Capacity(None, None, vessel.rated_eq_l * vessel.resin_l)
    if vessel.service == "self-filled":
        note = Note("rating-assumed-new", {"vessel": vessel.vessel, "eq_l": NEW_EQ_L})
        return Capacity(None, None, NEW_EQ_L * vessel.resin_l, "assumed", (note,))
    note = Note("rating-assumed", {"vessel": vessel.vessel, "eq_l": REGENERATED_EQ_L})
    return Capacity(None, None, REGENERATED_EQ_L * vessel.resin_l, "assumed", (note,))


def _by_totals(vessel: Vessel, cation_eq_l: float, anion_eq_l: float) -> Capacity:
    regenerated, notes = regenerated_share(vessel)
    usable, more = _share(vessel, vessel.usable_share_percent, ASSUMED_USABLE_PERCENT, "usable")
    cation_l = vessel.resin_l * vessel.cation_share_percent / 100.0
    active = regenerated * usable
    return Capacity(
        cation_eq_l * cation_l * active,
        anion_eq_l * (vessel.resin_l - cation_l) * active,
        None,
        "assumed" if notes or more else "quoted",
        notes + more,
    )


def regenerated_share(vessel: Vessel) -> tuple[float, tuple[Note, ...]]:
    """Share of its total capacity that a fresh vessel has, as told, else 55 % with a note [1]."""
    percent = vessel.regenerated_share_percent
    return _share(vessel, percent, ASSUMED_REGENERATED_PERCENT, "regenerated")


def _share(
    vessel: Vessel, percent: float | None, assumed: float, name: str
) -> tuple[float, tuple[Note, ...]]:
    if percent is not None:
        return percent / 100.0, ()
    values = {"vessel": vessel.vessel, "share": name, "percent": assumed}
    return assumed / 100.0, (Note("resin-share-assumed", values),)


def litres_by_capacity(capacity_eq: "Numeric", load_meq_l: "Numeric") -> "Numeric":
    """Litres of water whose load fills a capacity.

    V = 1000 capacity / load

    Parameters
    ----------
    capacity_eq : float or array
        Charge that the resin can take [eq].
    load_meq_l : float or array
        Charge in one litre of water, more than none [meq/L].

    Returns
    -------
    volume_l : float or array
        Litres of water [L].

    Examples
    --------
    >>> litres_by_capacity(41.0, 8.2)
    5000.0

    References
    ----------
    Balance of charges.
    """
    return 1000.0 * capacity_eq / load_meq_l


Side = Literal["cation", "anion"]


def run_by_rating(vessel: Vessel, load: Load, changeout: Changeout) -> ResinRun:
    """How many litres one fresh vessel in the lead makes, by its rating or its totals.

    litres = capacity / load of the side that the rating counts, or that ends first

    Parameters
    ----------
    vessel : Vessel
        The vessel in the lead.
    load : Load
        Load of the feed as it reaches the resin [meq/L].
    changeout : Changeout
        When a vessel is changed.

    Returns
    -------
    ResinRun
        Litres to exhaustion and to the change [L].

    Raises
    ------
    FieldError
        See :func:`check_vessel`.

    Notes
    -----
    A rating that does not say what it counts is held against the larger of both loads. A change at
    a conductivity or a silica mark counts as a change at the rated end; a note says so. A water
    without load never ends the run: no litres, and a note.

    References
    ----------
    Balance of charges; what ratings count: common practice, no source.
    """
    capacity = vessel_capacity(vessel)
    side, capacity_eq, notes = _limiting(vessel, load, capacity)
    load_meq_l = float(load.cation_meq_l if side == "cation" else load.anion_meq_l)
    notes = (*capacity.notes, *notes)
    if load_meq_l <= 0:
        empty = (*notes, Note("no-load", {"side": side}))
        return ResinRun(side, load_meq_l, capacity_eq, None, None, vessel.rated_to, (), empty)
    litres = float(litres_by_capacity(capacity_eq, load_meq_l))
    change, marks = _litres_to_change(litres, changeout)
    working = Working(
        "litres to exhaustion",
        f"capacity of the vessel / {side} load of one litre of water",
        (
            Given("capacity of the vessel", capacity_eq, "eq", capacity.basis),
            Given(f"{side} load", load_meq_l, "meq/L", "measured"),
        ),
        litres,
        "L",
        COMMON_PRACTICE,
        notes,
    )
    return ResinRun(
        side, load_meq_l, capacity_eq, litres, change, vessel.rated_to, (working,), notes + marks
    )


def _limiting(
    vessel: Vessel, load: Load, capacity: Capacity
) -> tuple[Side, float, tuple[Note, ...]]:
    """The side that decides, its capacity, and what was assumed about it."""
    if capacity.rated_eq is None:
        cation_eq, anion_eq = capacity.cation_eq or 0.0, capacity.anion_eq or 0.0
        # capacity / load compared without dividing: a load may be none
        cation_first = cation_eq * load.anion_meq_l < anion_eq * load.cation_meq_l
        return ("cation", cation_eq, ()) if cation_first else ("anion", anion_eq, ())
    unknown_end = () if vessel.rated_to else (Note("rated-end-unknown", {"vessel": vessel.vessel}),)
    if vessel.rated_on == "total cations":
        return "cation", capacity.rated_eq, unknown_end
    if vessel.rated_on != "unknown":
        return "anion", capacity.rated_eq, unknown_end
    side: Side = "cation" if load.cation_meq_l > load.anion_meq_l else "anion"
    note = Note("rating-counts-unknown", {"vessel": vessel.vessel, "taken": side})
    return side, capacity.rated_eq, (note, *unknown_end)


def _litres_to_change(litres: float, changeout: Changeout) -> tuple[float, tuple[Note, ...]]:
    """The earliest change mark that a balance can tell, and the marks that it cannot."""
    shares = [mark.value / 100.0 for mark in changeout.at if mark.watched == "litres"]
    others = tuple(mark for mark in changeout.at if mark.watched != "litres")
    if others or not shares:
        shares.append(1.0)
    notes = tuple(
        Note("mark-taken-at-exhaustion", {"watched": mark.watched, "value": mark.value})
        for mark in others
    )
    return litres * min(shares), notes
