"""What a reverse osmosis makes of a water: permeate, concentrate, scale."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from waterkit.treatment.reverse_osmosis import COMMON_REJECTION_PERCENT, ReverseOsmosis
from waterkit.treatment.told import given_of
from waterkit.water.composition import CARBON, Water, salts, speciation_of, with_ions
from waterkit.water.ions import SPECIES, charge_sum_meq_l
from waterkit.water.saturation import Saturation, saturation
from waterkit.working import Given, Note, Source, Working

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from waterkit.quantities import Numeric

MEMBRANE_PRACTICE = Source(
    "membrane-output",
    "Output of thin-film membranes by temperature, exp(K (1/298.15 - 1/T)): common practice of "
    "data sheets, from memory",
    "memory",
)
_WATER_BALANCE = Source("water-balance", "balance of water", "practice")
LIKE = {"Mn": "Fe", "Sr": "Ca", "Ba": "Ca", "Al": "Fe", "Br": "Cl", "NO2": "NO3", "PO4": "SO4"}
"""An ion of which no rejection is told is held back like another of its kind."""
OTHER_REJECTION_PERCENT = 95.0
COMMON_RECOVERY_PERCENT = 50.0
"""Recovery of a unit that tells neither recovery nor concentrate flow (common practice, no
source)."""
_KELVIN, _25_K = 273.15, 298.15
HIGHEST_LOOKED_AT = 0.95
"""Recoveries are looked at up to here: what would be sound beyond is told as 95 % or more."""
_RECOVERIES = np.linspace(0.0, HIGHEST_LOOKED_AT, 96)


@dataclass(frozen=True, slots=True)
class Separated:
    """What a membrane makes of a water.

    Parameters
    ----------
    permeate, concentrate : Water
        What passes and what goes to the drain [mmol/L].
    recovery : float or array
        Share of the feed that passes [1].
    output_l_h : float or array
        Permeate at the temperature of the feed [L/h].
    saturation : Saturation
        Of the concentrate.
    highest_recovery : float or array
        Highest recovery at which nothing may fall out; 0.95 stands for that or more [1].
    """

    permeate: Water
    concentrate: Water
    recovery: "Numeric"
    output_l_h: "Numeric"
    saturation: Saturation
    highest_recovery: "Numeric"
    workings: tuple[Working, ...] = ()
    notes: tuple[Note, ...] = ()


def output_factor(temperature_c: "Numeric", kelvin: float) -> "Numeric":
    """How much a membrane makes at a temperature, over what it makes at 25 degC.

    exp(K (1/298.15 - 1/T))

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the feed [degC].
    kelvin : float
        K, of the membrane's data sheet, in kelvin [1].

    Returns
    -------
    factor : float or array
        Output over the output at 25 degC [1].

    Examples
    --------
    >>> print(output_factor(25.0, 2640.0), output_factor(10.0, 2640.0))
    1.0 0.626

    References
    ----------
    Common practice of data sheets, from memory.
    """
    return np.exp(kelvin * (1.0 / _25_K - 1.0 / (temperature_c + _KELVIN)))


def output_l_h(unit: ReverseOsmosis, temperature_c: "Numeric") -> "Numeric":
    """Permeate that a unit makes at a temperature.

    output x factor(t) / factor(rated at)

    Parameters
    ----------
    unit : ReverseOsmosis
        The unit: its output [L/h], the temperature of that, its temperature factor.
    temperature_c : float or array
        Temperature of the feed [degC].

    Returns
    -------
    output_l_h : float or array
        Permeate [L/h].

    References
    ----------
    See :func:`output_factor`.
    """
    factor = unit.temperature_factor
    rated = output_factor(unit.rated_at_c, factor)
    return unit.output_l_h * output_factor(temperature_c, factor) / rated


def recovery_at(unit: ReverseOsmosis, temperature_c: "Numeric") -> "Numeric":
    """Share of the feed that passes the membrane: with a fixed concentrate flow less in the cold.

    output / (output + concentrate flow), or as told

    Parameters
    ----------
    unit : ReverseOsmosis
        The unit.
    temperature_c : float or array
        Temperature of the feed [degC].

    Returns
    -------
    recovery : float or array
        Share of the feed [1].

    Notes
    -----
    A unit that tells neither is taken at 50 %; :func:`separate` notes it.

    Examples
    --------
    >>> unit = ReverseOsmosis("reverse osmosis", 150.0, concentrate_flow_l_h=150.0)
    >>> print(recovery_at(unit, 25.0), recovery_at(unit, 5.0))
    0.5 0.346

    References
    ----------
    Balance of water.
    """
    if unit.concentrate_flow_l_h is None:
        percent = unit.recovery_percent
        return (
            COMMON_RECOVERY_PERCENT if percent is None else percent
        ) / 100.0 + 0.0 * temperature_c
    passing = output_l_h(unit, temperature_c)
    return passing / (passing + unit.concentrate_flow_l_h)


def separate(water: Water, unit: ReverseOsmosis, place: str = "") -> Separated:
    """What passes a membrane, and what it sends to the drain.

    permeate = (1 - rejection) feed, made neutral on hydrogen carbonate; carbon dioxide passes;
    concentrate = (feed - recovery x permeate) / (1 - recovery), ion by ion

    Parameters
    ----------
    water : Water
        The feed, at its own temperature [mmol/L].
    unit : ReverseOsmosis
        The unit.
    place : str
        Where it stands in the club's file, such as ``train.3``.

    Returns
    -------
    Separated
        Permeate and concentrate [mmol/L], output [L/h], saturation, the highest recovery.

    Notes
    -----
    Rejections are averages that nobody guarantees, and hold whatever the recovery. Where hydrogen
    carbonate cannot make the permeate neutral, all ions of the larger side are held back a little
    more; a note tells what was moved. Nothing falls out of the concentrate: its saturation is told.

    References
    ----------
    Balance of mass and charge; rejections: common practice, no source.
    """
    recovery = np.clip(recovery_at(unit, water.temperature_c), 0.0, 0.99)
    permeate, correction = _permeate(water, unit)
    concentrate = _concentrate(water, permeate, recovery)
    highest = _highest_recovery(water, permeate)
    scale = saturation(speciation_of(concentrate))
    output = output_l_h(unit, water.temperature_c)
    notes = (*_assumed(unit, water), correction, *_scale_notes(highest, recovery, scale))
    workings = (
        _output_working(unit, water, output, place),
        _recovery_working(unit, output, recovery, place),
    )
    return Separated(permeate, concentrate, recovery, output, scale, highest, workings, notes)


def permeate_of(water: Water, unit: ReverseOsmosis) -> Water:
    """What passes a membrane, and nothing else of what :func:`separate` tells.

    Parameters
    ----------
    water : Water
        The feed, at its own temperature [mmol/L].
    unit : ReverseOsmosis
        The unit.

    Returns
    -------
    Water
        The permeate [mmol/L].

    References
    ----------
    See :func:`separate`.
    """
    return _permeate(water, unit)[0]


def _rejection(unit: ReverseOsmosis, key: str) -> float:
    """Share of an ion that is held back."""
    for told in (unit.rejection_percent, COMMON_REJECTION_PERCENT):
        for name in (key, LIKE.get(key, "")):
            if name in told:
                return told[name] / 100.0
    return OTHER_REJECTION_PERCENT / 100.0


def _permeate(water: Water, unit: ReverseOsmosis) -> tuple[Water, Note]:
    ions = {key: (1.0 - _rejection(unit, key)) * amount for key, amount in salts(water).items()}
    cations, anions = charge_sum_meq_l(ions, +1), charge_sum_meq_l(ions, -1)
    expected = (1.0 - _rejection(unit, "HCO3")) * water.alkalinity_meq_l
    alkalinity = np.clip(cations - anions, 0.0, np.maximum(water.alkalinity_meq_l, 0.0))
    # what hydrogen carbonate cannot balance is taken from the larger side
    fewer = np.divide(
        alkalinity + anions, cations, out=np.ones(np.shape(cations)), where=cations > 0
    )
    less = np.divide(cations, anions, out=np.ones(np.shape(anions)), where=anions > 0)
    factors = {1: np.minimum(fewer, 1.0), -1: np.minimum(less, 1.0)}
    ions = {k: factors[1 if SPECIES[k].charge > 0 else -1] * v for k, v in ions.items()}
    passing = speciation_of(water).co2_mmol_l
    bound = np.maximum(water.mmol_l.get(CARBON, 0.0) - passing, 0.0)
    share = np.divide(
        alkalinity, water.alkalinity_meq_l, out=np.zeros(np.shape(alkalinity)),
        where=np.not_equal(water.alkalinity_meq_l, 0.0),
    )  # fmt: skip
    ions |= {CARBON: np.minimum(passing, water.mmol_l.get(CARBON, 0.0)) + share * bound}
    ions |= {"SiO2": (1.0 - _rejection(unit, "SiO2")) * water.mmol_l.get("SiO2", 0.0)}
    values = {
        "hco3_meq_l": float(np.mean(alkalinity - expected)),
        "cations_percent": 100.0 * float(np.mean(factors[1] - 1.0)),
        "anions_percent": 100.0 * float(np.mean(factors[-1] - 1.0)),
    }
    others = {key: amount for key, amount in water.mmol_l.items() if key not in ions}
    return with_ions(water, {**others, **ions}, alkalinity), Note("permeate-made-neutral", values)


def _concentrate(water: Water, permeate: Water, recovery: "Numeric") -> Water:
    """What is left, ion by ion."""

    def left(feed: "Numeric", passed: "Numeric") -> "Numeric":
        return (feed - recovery * passed) / (1.0 - recovery)

    amounts = {key: left(amount, permeate.mmol_l[key]) for key, amount in water.mmol_l.items()}
    return with_ions(water, amounts, left(water.alkalinity_meq_l, permeate.alkalinity_meq_l))


def _highest_recovery(water: Water, permeate: Water) -> "Numeric":
    """The highest recovery, in steps of 1 %, up to which no index is above 0."""
    shape = np.broadcast(water.alkalinity_meq_l, water.temperature_c).shape
    steps = _RECOVERIES.reshape((-1, *(1,) * len(shape)))
    found = saturation(speciation_of(_concentrate(water, permeate, steps)))
    sound: NDArray[np.bool_] = np.logical_and.accumulate(_worst(found) <= 0.0, axis=0)
    last = np.maximum(sound.sum(axis=0) - 1, 0)
    highest: Numeric = _RECOVERIES[last][()]
    return highest


def _worst(found: Saturation) -> "NDArray[np.float64]":
    """The highest of the indices."""
    return np.asarray(np.maximum(np.maximum(found.calcite, found.gypsum), found.silica))


def _assumed(unit: ReverseOsmosis, water: Water) -> tuple[Note, ...]:
    """What the unit does not tell: its recovery, how much of each ion it holds back."""
    notes = []
    if unit.concentrate_flow_l_h is None and unit.recovery_percent is None:
        notes.append(Note("recovery-assumed", {"percent": COMMON_RECOVERY_PERCENT}))
    there = (*(key for key, amount in salts(water).items() if np.any(amount)), "HCO3", "SiO2")
    told = {} if unit.rejection_percent == COMMON_REJECTION_PERCENT else unit.rejection_percent
    assumed = tuple(key for key in there if key not in told)
    if assumed:
        percents = [100.0 * _rejection(unit, key) for key in assumed]
        values = {"ions": assumed, "low_percent": min(percents), "high_percent": max(percents)}
        notes.append(Note("rejections-assumed", values))
    return tuple(notes)


def _scale_notes(highest: "Numeric", recovery: "Numeric", scale: Saturation) -> tuple[Note, ...]:
    values = {
        "recovery_percent": 100.0 * float(np.mean(recovery)),
        "highest_percent": 100.0 * float(np.min(highest)),
    }
    if np.any(np.asarray(highest) <= 0.0):
        return (Note("scale-at-any-recovery", values),)
    # beyond the highest that is looked at, the concentrate itself tells
    beyond = np.asarray(recovery) > np.asarray(highest)
    if np.any(beyond & ((np.asarray(highest) < HIGHEST_LOOKED_AT) | (_worst(scale) > 0.0))):
        return (Note("recovery-too-high-for-scale", values),)
    return ()


def _output_working(unit: ReverseOsmosis, water: Water, output: "Numeric", place: str) -> Working:
    celsius = float(np.mean(water.temperature_c))
    return Working(
        "permeate at the temperature of the feed",
        "output x exp(K (1/T rated - 1/T))",
        (
            given_of("output", unit, "output_l_h", "L/h", place),
            given_of("temperature it is rated at", unit, "rated_at_c", "degC", place),
            given_of("temperature factor K", unit, "temperature_factor", "1", place),
            Given("temperature of the feed", celsius, "degC", "measured"),
        ),
        float(np.mean(output)),
        "L/h",
        MEMBRANE_PRACTICE,
    )


def _recovery_working(
    unit: ReverseOsmosis, output: "Numeric", recovery: "Numeric", place: str
) -> Working:
    formula, percent = "as told", 100.0 * float(np.mean(recovery))
    given = [Given("recovery", percent, "%", "assumed")]
    if unit.recovery_percent is not None:
        given = [given_of("recovery", unit, "recovery_percent", "%", place)]
    elif unit.concentrate_flow_l_h is not None:
        formula = "permeate / (permeate + concentrate flow)"
        given = [
            Given("permeate", float(np.mean(output)), "L/h", "worked out"),
            given_of("concentrate flow", unit, "concentrate_flow_l_h", "L/h", place),
        ]
    return Working("recovery", formula, tuple(given), percent, "%", _WATER_BALANCE)
