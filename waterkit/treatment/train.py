"""The train: what the water meets between the supply and the tank, in the order it runs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Literal

import numpy as np

from waterkit.quantities import FLOW, MASS_CONCENTRATION, PERCENT, PPM_CO2, VOLUME
from waterkit.treatment.ion_exchange import Changeout, Vessel, service_flow_notes
from waterkit.water.analysis import Water
from waterkit.water.carbonate import open_to_air
from waterkit.water.composition import CARBON, ions
from waterkit.water.conductivity import pure_water, standard_methods_conductivity
from waterkit.water.equilibria import water_ion_product
from waterkit.working import Note

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


Process = Filter | Carbon | Deioniser | Tank

_25_C = 25.0


@dataclass(frozen=True, slots=True)
class ProcessResult:
    """The water that leaves one process.

    Parameters
    ----------
    process : str
        Kind of the process.
    water_out : Water
        What leaves it [mmol/L].
    conductivity_us_cm : float or array or None
        Conductivity at 25 degC; None where the water holds salts [uS/cm].
    conductivity_standard_methods_us_cm : float or array or None
        Conductivity at 25 degC after Standard Methods; None where nothing but water and carbon
        dioxide is left, for which that method is not made [uS/cm].
    recovery : float
        Share of the water that goes on [1].
    """

    process: str
    water_out: Water
    conductivity_us_cm: "Numeric | None"
    conductivity_standard_methods_us_cm: "Numeric | None"
    recovery: float = 1.0
    notes: tuple[Note, ...] = ()


def last_tank(train: Sequence[Process]) -> Tank:
    """The tank that the ice is made from: the last of the train, else a common one."""
    tanks = [process for process in train if isinstance(process, Tank)]
    return tanks[-1] if tanks else Tank("tank")


def treat(
    water: Water, train: Sequence[Process], vessels: Sequence[Vessel], changeout: Changeout
) -> tuple[ProcessResult, ...]:
    """What leaves each process of a train, in the order the water runs.

    filter, carbon: the ions pass; deioniser: everything stays in the resin; open tank: air's carbon
    dioxide comes in

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

    Returns
    -------
    tuple of ProcessResult
        One for each process.

    Notes
    -----
    Balance only: a deioniser is fresh, a note says until when.

    References
    ----------
    Common practice, no source; air: see :func:`waterkit.water.carbonate.open_to_air`.
    """
    methods = standard_methods_conductivity(ions(water))
    before = ProcessResult("feed", water, None, methods.conductivity_us_cm)
    results = []
    for process in train:
        before = _step(process, before, vessels, changeout)
        results.append(before)
    return tuple(results)


def _step(
    process: Process, before: ProcessResult, vessels: Sequence[Vessel], changeout: Changeout
) -> ProcessResult:
    match process:
        case Deioniser():
            return _deionise(process, before.water_out, vessels, changeout)
        case Tank(open_=True):
            return _stand_open(process, before)
        case _:
            return replace(before, process=process.kind, notes=())


def _deionise(
    process: Deioniser, water: Water, vessels: Sequence[Vessel], changeout: Changeout
) -> ProcessResult:
    nothing = {key: 0.0 * amount for key, amount in water.mmol_l.items()}
    neutral = -np.log10(water_ion_product(water.temperature_c)) / 2.0
    pure = replace(water, mmol_l=nothing, alkalinity_meq_l=0.0, ph=neutral)
    notes = [Note("fresh-resin-assumed", {"changed_at": changeout.at})]
    for position in process.positions:
        notes += _notes_on(process, position, vessels)
    return ProcessResult("di", pure, pure_water(_25_C), None, notes=tuple(notes))


def _notes_on(process: Deioniser, position: str, vessels: Sequence[Vessel]) -> list[Note]:
    standing = [vessel for vessel in vessels if vessel.position == position]
    if not standing:
        return [Note("no-vessel-in-position", {"position": position})]
    if process.flow_l_h is None:
        return []
    return [
        note for vessel in standing for note in service_flow_notes(process.flow_l_h, vessel.resin_l)
    ]


def _stand_open(process: Tank, before: ProcessResult) -> ProcessResult:
    """Water in an open tank: without salts it is what air makes of it, else as it came."""
    if before.conductivity_us_cm is None:
        return replace(before, process="tank", notes=(Note("air-left-out"),))
    air = open_to_air(_25_C, process.air_co2_ppm)
    carbon = air.carbon_dioxide_mmol_l + air.hydrogen_carbonate_mmol_l
    aerated = replace(
        before.water_out,
        mmol_l={**before.water_out.mmol_l, CARBON: carbon},
        ph=air.ph,
        temperature_c=_25_C,
    )
    note = Note("open-to-air", {"co2_ppm": process.air_co2_ppm, "temperature_c": _25_C})
    return ProcessResult("tank", aerated, air.conductivity_us_cm, None, notes=(note,))
