"""The train: what the water meets between the supply and the tank, in the order it runs."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np

from waterkit.quantities import FLOW, MASS_CONCENTRATION, PERCENT, PPM_CO2, VOLUME
from waterkit.treatment.ion_exchange import Changeout, Vessel, service_flow_notes
from waterkit.treatment.membrane import output_l_h, recovery_at, separate
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.treatment.softening import Softener, soften
from waterkit.water.composition import (
    Water,
    at_air,
    conductivity,
    conductivity_25,
    ions,
    salts,
    with_ions,
)
from waterkit.water.conductivity import standard_methods_conductivity
from waterkit.water.saturation import Saturation
from waterkit.working import Note, Working

if TYPE_CHECKING:
    from waterkit.quantities import Numeric


@dataclass(frozen=True, slots=True)
class Filter:
    """A sediment filter; ``rating`` is its pore size as the label says it."""

    kind: Literal["filter"]
    rating: str = ""


@dataclass(frozen=True, slots=True)
class Carbon:
    """A carbon filter: ``litres`` it treats at 1 mg/L of free chlorine, and the feed's chlorine."""

    kind: Literal["carbon"]
    litres_l: Annotated[float, VOLUME] = 40_000.0
    chlorine_mg_l: Annotated[float, MASS_CONCENTRATION] = 0.0


@dataclass(frozen=True, slots=True)
class Deioniser:
    """Mixed-bed vessels in series; ``positions`` in the order the water runs, and the flow."""

    kind: Literal["di"]
    positions: tuple[Literal["lead", "lag", "single"], ...] = ("single",)
    flow_l_h: Annotated[float, FLOW] | None = None


@dataclass(frozen=True, slots=True)
class Tank:
    """A storage tank.

    ``heel`` cannot be pumped; ``reserve`` is the share of one sheet's flood that must be in the
    tank before a flood begins; ``open`` tells whether air reaches the water.
    """

    kind: Literal["tank"]
    volume_l: Annotated[float, VOLUME] = 1000.0
    heel_l: Annotated[float, VOLUME] = 30.0
    reserve_percent: Annotated[float, PERCENT] = 7.0
    open_: bool = True
    air_co2_ppm: Annotated[float, PPM_CO2] = 1000.0


@dataclass(frozen=True, slots=True)
class BoughtIn:
    """Water that comes by truck or in containers, in place of all that stands before it.

    Parameters
    ----------
    sample : str
        Name of the sample in water-tests.csv that tells what is in it.
    delivery_l : float
        What one delivery brings [L].
    """

    kind: Literal["bought in"]
    sample: str
    delivery_l: Annotated[float, VOLUME] = 1000.0


Process = Filter | Carbon | Softener | ReverseOsmosis | Deioniser | Tank | BoughtIn

NOTHING: Mapping[str, Water] = {}


@dataclass(frozen=True, slots=True)
class ProcessResult:
    """The water that leaves one process.

    Parameters
    ----------
    process : str
        Kind of the process.
    water_out : Water
        What leaves it [mmol/L].
    conductivity_us_cm : float or array
        Conductivity at 25 degC, kept closed and warmed [uS/cm].
    conductivity_standard_methods_us_cm : float or array or None
        Conductivity at 25 degC after Standard Methods; None where nothing but water and carbon
        dioxide is left, for which that method is not made [uS/cm].
    conductivity_as_it_is_us_cm : float or array
        Conductivity at the water's own temperature [uS/cm].
    recovery : float or array
        Share of the water that goes on [1].
    reject : Water or None
        What goes to the drain meanwhile [mmol/L].
    saturation : Saturation or None
        Of that reject.
    highest_recovery : float or array or None
        Highest recovery at which nothing may fall out of it [1].
    output_l_h : float or array or None
        The most that the process makes at the water's temperature [L/h].
    salt_kg_m3 : float or array
        Salt that it takes for a cubic metre [kg/m3].
    """

    process: str
    water_out: Water
    conductivity_us_cm: "Numeric"
    conductivity_standard_methods_us_cm: "Numeric | None"
    conductivity_as_it_is_us_cm: "Numeric"
    recovery: "Numeric" = 1.0
    reject: Water | None = None
    saturation: Saturation | None = None
    highest_recovery: "Numeric | None" = None
    output_l_h: "Numeric | None" = None
    salt_kg_m3: "Numeric" = 0.0
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class _Plant:
    """What the processes of a train need to know beside the water."""

    vessels: Sequence[Vessel]
    changeout: Changeout
    bought: Mapping[str, Water] = field(default_factory=dict)
    softener_flow_l_h: float | None = None


def last_tank(train: Sequence[Process]) -> Tank:
    """The tank that the ice is made from: the last of the train, else a common one."""
    tanks = [process for process in train if isinstance(process, Tank)]
    return tanks[-1] if tanks else Tank("tank")


def treat(
    water: Water,
    train: Sequence[Process],
    vessels: Sequence[Vessel],
    changeout: Changeout,
    bought: Mapping[str, Water] = NOTHING,
) -> tuple[ProcessResult, ...]:
    """What leaves each process of a train, in the order the water runs.

    filter, carbon: the ions pass; softener: hardness for sodium; reverse osmosis: what passes the
    membrane; deioniser: everything stays in the resin; open tank: in balance with its air; bought
    in: another water

    Parameters
    ----------
    water : Water
        The feed [mmol/L].
    train : sequence of Process
        The processes in order.
    vessels : sequence of Vessel
        The club's vessels; the deioniser says which positions it uses.
    changeout : Changeout
        When a vessel is changed: until then the deioniser is taken as fresh.
    bought : mapping of sample to Water
        Waters that are brought, completed, by the name of their sample [mmol/L].

    Returns
    -------
    tuple of ProcessResult
        One for each process.

    Notes
    -----
    The water keeps its temperature. A deioniser is fresh, a note says until when.

    References
    ----------
    See :func:`waterkit.treatment.softening.soften`, :func:`waterkit.treatment.membrane.separate`,
    :func:`waterkit.water.composition.at_air`.
    """
    flow = _flow_before(train, float(np.mean(water.temperature_c)))
    plant, results = _Plant(vessels, changeout, bought, flow), []
    for process in train:
        result = _step(process, water, plant)
        results.append(result)
        water = result.water_out
    return _with_flow_notes(train, results)


def _flow_before(train: Sequence[Process], celsius: float) -> float | None:
    """The flow through what stands first: what a membrane takes, else what the deioniser does."""
    for process in train:
        if isinstance(process, ReverseOsmosis):
            return float(output_l_h(process, celsius) / recovery_at(process, celsius))
    return next((p.flow_l_h for p in train if isinstance(p, Deioniser)), None)


def _with_flow_notes(
    train: Sequence[Process], results: Sequence[ProcessResult]
) -> tuple[ProcessResult, ...]:
    """A note where a deioniser is to take more than the membrane before it makes."""
    makes, noted = math.inf, []
    for process, result in zip(train, results, strict=True):
        if isinstance(process, Tank | BoughtIn):
            makes = math.inf
        elif result.output_l_h is not None:
            makes = float(np.min(result.output_l_h))
        notes = result.notes
        if isinstance(process, Deioniser) and (process.flow_l_h or 0.0) > makes:
            values = {"flow_l_h": process.flow_l_h, "output_l_h": makes}
            notes = (*notes, Note("flow-above-membrane", values))
        noted.append(replace(result, notes=notes))
    return tuple(noted)


def reaching_resin(
    water: Water, train: Sequence[Process], results: Sequence[ProcessResult]
) -> Water:
    """The water that runs into the first deioniser, which has to take its load; else the feed.

    Parameters
    ----------
    water : Water
        The feed [mmol/L].
    train : sequence of Process
        The processes in order.
    results : sequence of ProcessResult
        From :func:`treat`.

    Returns
    -------
    Water
        What reaches the resin [mmol/L].

    References
    ----------
    None needed: nothing is worked out.
    """
    for process, result in zip(train, results, strict=True):
        if isinstance(process, Deioniser):
            return water
        water = result.water_out
    return water


@dataclass(frozen=True, slots=True)
class Handed:
    """What a train takes for what it hands on, and the most that it makes.

    Parameters
    ----------
    feed_per_l : float or array
        Water of the supply for each litre handed on; water bought in counts as supply [1].
    salt_kg_m3 : float or array
        Salt for a cubic metre handed on [kg/m3].
    most_l_h : float or array
        The most that its membranes make; infinite without any [L/h].
    """

    feed_per_l: "Numeric" = 1.0
    salt_kg_m3: "Numeric" = 0.0
    most_l_h: "Numeric" = math.inf


def handed_on(train: Sequence[Process], results: Sequence[ProcessResult]) -> Handed:
    """What a train takes for what it hands on, and the most that it makes.

    feed: 1 / product of the recoveries; salt: of each softener, by the share of its water that is
    handed on; most: the least output of a membrane, by that share. Water bought in starts anew.

    Parameters
    ----------
    train : sequence of Process
        The processes in order.
    results : sequence of ProcessResult
        From :func:`treat`.

    Returns
    -------
    Handed
        Feed, salt, the most [L/h].

    References
    ----------
    Balance of water.
    """
    found = Handed()
    for process, result in zip(train, results, strict=True):
        if isinstance(process, BoughtIn):
            found = Handed()
            continue
        most = found.most_l_h * result.recovery
        if result.output_l_h is not None:
            most = np.minimum(most, result.output_l_h)
        salt = found.salt_kg_m3 / result.recovery + result.salt_kg_m3
        found = Handed(found.feed_per_l / result.recovery, salt, most)
    return found


def _step(process: Process, water: Water, plant: _Plant) -> ProcessResult:
    match process:
        case Deioniser():
            return _deionise(process, water, plant)
        case Softener():
            return _soften(process, water, plant)
        case ReverseOsmosis():
            return _separate(process, water)
        case BoughtIn():
            return _bring(process, water, plant)
        case Tank(open_=True):
            return _stand_open(process, water)
        case _:
            return _leaving(process.kind, water)


def _leaving(kind: str, water: Water, **more: Any) -> ProcessResult:
    """The result of a process that water leaves."""
    methods = None
    if any(np.any(amount) for amount in salts(water).values()):
        methods = standard_methods_conductivity(ions(water)).conductivity_us_cm
    return ProcessResult(kind, water, conductivity_25(water), methods, conductivity(water), **more)


def _soften(process: Softener, water: Water, plant: _Plant) -> ProcessResult:
    found, flow = soften(water, process), plant.softener_flow_l_h
    unusual = () if flow is None else service_flow_notes(flow, process.resin_l)
    return _leaving(
        process.kind, found.water, salt_kg_m3=found.salt_kg_m3, workings=found.workings,
        notes=(*found.notes, *unusual),
    )  # fmt: skip


def _separate(process: ReverseOsmosis, water: Water) -> ProcessResult:
    found = separate(water, process)
    return _leaving(
        process.kind, found.permeate, recovery=found.recovery, reject=found.concentrate,
        saturation=found.saturation, highest_recovery=found.highest_recovery,
        output_l_h=found.output_l_h, workings=found.workings, notes=found.notes,
    )  # fmt: skip


def _bring(process: BoughtIn, water: Water, plant: _Plant) -> ProcessResult:
    values = {"sample": process.sample}
    if process.sample not in plant.bought:
        return _leaving(process.kind, water, notes=(Note("bought-in-without-sample", values),))
    return _leaving(process.kind, plant.bought[process.sample], notes=(Note("bought-in", values),))


def _deionise(process: Deioniser, water: Water, plant: _Plant) -> ProcessResult:
    nothing = {key: 0.0 * amount for key, amount in water.mmol_l.items()}
    pure = with_ions(water, nothing, 0.0 * water.alkalinity_meq_l)
    notes = [Note("fresh-resin-assumed", {"changed_at": plant.changeout.at})]
    for position in process.positions:
        notes += _notes_on(process, position, plant.vessels)
    return _leaving(process.kind, pure, notes=tuple(notes))


def _notes_on(process: Deioniser, position: str, vessels: Sequence[Vessel]) -> list[Note]:
    standing = [vessel for vessel in vessels if vessel.position == position]
    if not standing:
        return [Note("no-vessel-in-position", {"position": position})]
    if process.flow_l_h is None:
        return []
    return [
        note for vessel in standing for note in service_flow_notes(process.flow_l_h, vessel.resin_l)
    ]


def _stand_open(process: Tank, water: Water) -> ProcessResult:
    """Water in an open tank: in balance with the air of the hall, at its own temperature."""
    result = _leaving(process.kind, at_air(water, process.air_co2_ppm))
    values = {
        "co2_ppm": process.air_co2_ppm,
        "temperature_c": float(np.mean(water.temperature_c)),
        "us_cm": float(np.mean(result.conductivity_as_it_is_us_cm)),
        "us_cm_25": float(np.mean(result.conductivity_us_cm)),
    }
    return replace(result, notes=(Note("open-to-air", values),))
