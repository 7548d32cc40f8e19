"""The train: what the water meets between the supply and the tank, in the order it runs."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from waterkit.treatment.carbon import Carbon, carbon_litres
from waterkit.treatment.flows import flow_before, flow_notes, service_flow_notes
from waterkit.treatment.ion_exchange import Changeout, Vessel
from waterkit.treatment.membrane import permeate_of, separate
from waterkit.treatment.processes import (
    BoughtIn,
    Deioniser,
    Filter,
    Process,
    Tank,
    last_tank,
    positions,
)
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
from waterkit.water.fouling import COMMON_FOULING
from waterkit.water.saturation import Saturation
from waterkit.working import Note, Working

if TYPE_CHECKING:
    from waterkit.quantities import Numeric

__all__ = [
    "BoughtIn",
    "Carbon",
    "Deioniser",
    "Filter",
    "Handed",
    "Process",
    "ProcessResult",
    "Tank",
    "handed_on",
    "last_tank",
    "positions",
    "reaching_resin",
    "treat",
    "water_before_resin",
]

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
    litres_l : float or array or None
        Water until a carbon filter is changed, or a softener regenerated [L].
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
    litres_l: "Numeric | None" = None
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


@dataclass(frozen=True, slots=True)
class _Plant:
    """What the processes of a train need to know beside the water."""

    vessels: Sequence[Vessel]
    changeout: Changeout
    bought: Mapping[str, Water] = field(default_factory=dict)
    softener_flow_l_h: float | None = None
    chlorine_mg_l: float = 0.0
    place: str = ""


def treat(
    water: Water,
    train: Sequence[Process],
    vessels: Sequence[Vessel],
    changeout: Changeout,
    bought: Mapping[str, Water] = NOTHING,
    chlorine_mg_l: float = 0.0,
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
    chlorine_mg_l : float
        Free chlorine of the feed; a carbon filter that tells none of its own takes it [mg/L].

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
    flow = flow_before(train, float(np.mean(water.temperature_c)))
    plant, results = _Plant(vessels, changeout, bought, flow, chlorine_mg_l), []
    for number, process in enumerate(train, start=1):
        result = _step(process, water, replace(plant, place=f"train.{number}"))
        results.append(result)
        water = result.water_out
        if isinstance(process, Carbon | BoughtIn):
            plant = replace(plant, chlorine_mg_l=0.0)
    told = flow_notes(train, [result.output_l_h for result in results], vessels)
    return tuple(
        replace(result, notes=(*result.notes, *notes))
        for result, notes in zip(results, told, strict=True)
    )


def water_before_resin(
    water: Water, train: Sequence[Process], bought: Mapping[str, Water] = NOTHING
) -> Water:
    """The water that reaches the first deioniser, and nothing else of what :func:`treat` tells.

    Parameters
    ----------
    water : Water
        The feed [mmol/L].
    train : sequence of Process
        The processes in order.
    bought : mapping of sample to Water
        Waters that are brought, by the name of their sample [mmol/L].

    Returns
    -------
    Water
        What reaches the resin; what leaves the train where there is none [mmol/L].

    References
    ----------
    See :func:`treat`.
    """
    for process in train:
        match process:
            case Deioniser():
                return water
            case Softener():
                water = soften(water, process).water
            case ReverseOsmosis():
                water = permeate_of(water, process)
            case BoughtIn():
                water = bought.get(process.sample, water)
            case Tank(open_=True):
                water = at_air(water, process.air_co2_ppm)
            case _:
                pass
    return water


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
        case Filter() | Tank(open_=False):
            result = _leaving(process.kind, water)
        case Carbon():
            result = _filter_chlorine(process, water, plant)
        case Softener():
            result = _soften(process, water, plant)
        case ReverseOsmosis():
            result = _separate(process, water, plant)
        case Deioniser():
            result = _deionise(process, water, plant)
        case BoughtIn():
            result = _bring(process, water, plant)
        case _:
            result = _stand_open(process, water)
    return result


def _leaving(kind: str, water: Water, **more: Any) -> ProcessResult:
    """The result of a process that water leaves."""
    methods = None
    if any(np.any(amount) for amount in salts(water).values()):
        methods = standard_methods_conductivity(ions(water)).conductivity_us_cm
    return ProcessResult(kind, water, conductivity_25(water), methods, conductivity(water), **more)


def _soften(process: Softener, water: Water, plant: _Plant) -> ProcessResult:
    found, flow = soften(water, process, plant.place), plant.softener_flow_l_h
    unusual = () if flow is None else service_flow_notes(flow, process.resin_l)
    return _leaving(
        process.kind, found.water, salt_kg_m3=found.salt_kg_m3, litres_l=found.litres_l,
        workings=found.workings, notes=(*found.notes, *unusual),
    )  # fmt: skip


def _filter_chlorine(process: Carbon, water: Water, plant: _Plant) -> ProcessResult:
    """The ions pass; the litres of a fresh filter by the chlorine that it meets."""
    sampled = process.chlorine_mg_l <= 0 < plant.chlorine_mg_l
    found = carbon_litres(process, plant.place, plant.chlorine_mg_l if sampled else None)
    return _leaving(
        process.kind, water, litres_l=found.litres, workings=found.workings, notes=found.notes
    )


def _chlorine_notes(plant: _Plant, met_by: str) -> tuple[Note, ...]:
    if plant.chlorine_mg_l <= COMMON_FOULING.chlorine_mg_l:
        return ()
    return (Note("chlorine-without-carbon", {"mg_l": plant.chlorine_mg_l, "met_by": met_by}),)


def _separate(process: ReverseOsmosis, water: Water, plant: _Plant) -> ProcessResult:
    found = separate(water, process, plant.place)
    return _leaving(
        process.kind, found.permeate, recovery=found.recovery, reject=found.concentrate,
        saturation=found.saturation, highest_recovery=found.highest_recovery,
        output_l_h=found.output_l_h, workings=found.workings,
        notes=(*_chlorine_notes(plant, "membrane"), *found.notes),
    )  # fmt: skip


def _bring(process: BoughtIn, water: Water, plant: _Plant) -> ProcessResult:
    values = {"sample": process.sample}
    if process.sample not in plant.bought:
        return _leaving(process.kind, water, notes=(Note("bought-in-without-sample", values),))
    return _leaving(process.kind, plant.bought[process.sample], notes=(Note("bought-in", values),))


def _deionise(process: Deioniser, water: Water, plant: _Plant) -> ProcessResult:
    nothing = {key: 0.0 * amount for key, amount in water.mmol_l.items()}
    pure = with_ions(water, nothing, 0.0 * water.alkalinity_meq_l)
    standing = {vessel.position for vessel in plant.vessels}
    notes = (
        Note("fresh-resin-assumed", {"changed_at": plant.changeout.at}),
        *_chlorine_notes(plant, "resin"),
        *(
            Note("no-vessel-in-position", {"position": position})
            for position in process.positions
            if position not in standing
        ),
    )
    return _leaving(process.kind, pure, notes=notes)


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
