"""How much water flows through the resin of a train, held against what is usual."""

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from waterkit.treatment.ion_exchange import Vessel
from waterkit.treatment.membrane import output_l_h, recovery_at
from waterkit.treatment.processes import BoughtIn, Deioniser, Process, Tank
from waterkit.treatment.reverse_osmosis import ReverseOsmosis
from waterkit.working import Note

if TYPE_CHECKING:
    from waterkit.quantities import Numeric


SERVICE_FLOW_BV_H = (8.0, 40.0)
"""Usual service flow of resin [bed volumes per hour]: M. L. Davis, Water and Wastewater
Engineering, McGraw-Hill, 2010, table 8-2."""


def flow_before(train: Sequence[Process], temperature_c: float) -> float | None:
    """The flow through what stands first: what a membrane takes, else what the deioniser does.

    Parameters
    ----------
    train : sequence of Process
        The processes in order.
    temperature_c : float
        Temperature of the feed [degC].

    Returns
    -------
    flow_l_h : float or None
        Flow; None where nothing tells it [L/h].

    References
    ----------
    See :func:`waterkit.treatment.membrane.output_l_h`.
    """
    for process in train:
        if isinstance(process, ReverseOsmosis):
            passing = output_l_h(process, temperature_c)
            return float(passing / recovery_at(process, temperature_c))
    return next((p.flow_l_h for p in train if isinstance(p, Deioniser)), None)


def flow_notes(
    train: Sequence[Process], outputs_l_h: "Sequence[Numeric | None]", vessels: Sequence[Vessel]
) -> list[tuple[Note, ...]]:
    """Where a deioniser is to take more than a membrane makes, or more or less than is usual.

    Parameters
    ----------
    train : sequence of Process
        The processes in order.
    outputs_l_h : sequence of float or array or None
        The most that each makes, None for all but membranes [L/h].
    vessels : sequence of Vessel
        The club's vessels.

    Returns
    -------
    list of tuple of Note
        The notes on each process.

    Notes
    -----
    A deioniser that does not tell its flow takes what the membrane before it makes, if no tank
    stands between them.

    References
    ----------
    See :func:`service_flow_notes`.
    """
    makes_l_h, notes = math.inf, []
    for process, output in zip(train, outputs_l_h, strict=True):
        if isinstance(process, Tank | BoughtIn):
            makes_l_h = math.inf
        elif output is not None:
            makes_l_h = float(np.min(output))
        found: tuple[Note, ...] = ()
        if isinstance(process, Deioniser):
            found = (*_too_much(process, makes_l_h), *_unusual(process, makes_l_h, vessels))
        notes.append(found)
    return notes


def _too_much(process: Deioniser, makes_l_h: float) -> tuple[Note, ...]:
    if (process.flow_l_h or 0.0) <= makes_l_h:
        return ()
    values = {"flow_l_h": process.flow_l_h, "output_l_h": makes_l_h}
    return (Note("flow-above-membrane", values),)


def _unusual(process: Deioniser, makes_l_h: float, vessels: Sequence[Vessel]) -> tuple[Note, ...]:
    flow_l_h = makes_l_h if process.flow_l_h is None else process.flow_l_h
    if math.isinf(flow_l_h):
        return ()
    return tuple(
        note
        for position in process.positions
        for vessel in vessels
        if vessel.position == position
        for note in service_flow_notes(flow_l_h, vessel.resin_l)
    )


def service_flow_notes(flow_l_h: float, resin_l: float) -> tuple[Note, ...]:
    """A note where the flow through one vessel lies outside 8 to 40 bed volumes per hour.

    Parameters
    ----------
    flow_l_h : float
        Flow through the vessel [L/h].
    resin_l : float
        Resin in the vessel, more than none [L].

    Returns
    -------
    tuple of Note
        One note, or none.

    References
    ----------
    M. L. Davis, Water and Wastewater Engineering, McGraw-Hill, 2010, table 8-2.
    """
    bed_volumes = flow_l_h / resin_l
    low, high = SERVICE_FLOW_BV_H
    if low <= bed_volumes <= high:
        return ()
    return (Note("service-flow-unusual", {"bed_volumes_h": bed_volumes, "low": low, "high": high}),)
