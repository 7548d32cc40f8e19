"""Several samples of one supply: does the newest still hold, do they agree, was one fuller."""

import datetime as dt
from collections.abc import Callable, Sequence

from waterkit.water.completion import complete
from waterkit.water.composition import larger, load
from waterkit.water.ions import CACO3_EQUIVALENT_G, SPECIES
from waterkit.water.sample import Sample
from waterkit.water.sums import alkalinity_meq_l, hardness_mg_l_caco3
from waterkit.working import Note

# Common practice, no source.
STALE_MONTHS = 12
COMPARED_MONTHS = 36
"""Older samples say little about today's supply."""
DISAGREE_PERCENT = 15.0
_DAYS_A_MONTH = 365.2425 / 12
_FULLER_BY = 3
"""A sample is called fuller if it tells so many more of what loads the resin."""
_OF_LOAD = ("Ca", "Mg", "Na", "Cl", "SO4", "NO3", "SiO2", "alkalinity", "hardness", "pH")


def sample_notes(
    samples: Sequence[Sample], as_of: dt.date, temperature_c: float
) -> tuple[Note, ...]:
    """Where the samples of a source are old, disagree, or the newest tells less than another.

    Parameters
    ----------
    samples : sequence of Sample
        Samples of the supply; those taken after the day do not count.
    as_of : date
        The day of the plan.
    temperature_c : float
        Temperature of the supply, where a sample does not tell its own [degC].

    Returns
    -------
    tuple of Note
        For each source: the newest is older than 12 months; it differs from one of the 36 months
        before it by more than 15 % in load, or else in hardness, alkalinity or silica; one of those
        tells more of what loads the resin.

    References
    ----------
    Common practice, no source.
    """
    notes: list[Note] = []
    for source in dict.fromkeys(sample.source for sample in samples):
        past = sorted(
            (s for s in samples if s.source == source and s.date <= as_of), key=lambda s: s.date
        )
        if past:
            newest, before = past[-1], _lately(past)
            notes += _stale(newest, as_of)
            notes += [
                note for older in before for note in _disagreeing(older, newest, temperature_c)
            ]
            notes += _fuller(before, newest)
    return tuple(notes)


def _lately(past: Sequence[Sample]) -> list[Sample]:
    """The samples before the newest that still say something."""
    most = COMPARED_MONTHS * _DAYS_A_MONTH
    return [sample for sample in past[:-1] if (past[-1].date - sample.date).days <= most]


def _stale(newest: Sample, as_of: dt.date) -> list[Note]:
    months = (as_of - newest.date).days / _DAYS_A_MONTH
    if months <= STALE_MONTHS:
        return []
    return [Note("sample-old", {"sample": newest.sample, "months": int(months)})]


def _disagreeing(older: Sample, newer: Sample, temperature_c: float) -> list[Note]:
    """The load, else what differs most of what both tell."""
    before, after = (
        float(larger(load(complete(sample, temperature_c).water))) for sample in (older, newer)
    )
    percent = 100.0 * (after / before - 1.0) if before > 0 else 0.0
    if abs(percent) > DISAGREE_PERCENT:
        disagree = {"older": older.sample, "newer": newer.sample, "percent": percent}
        return [Note("samples-disagree", disagree)]
    differing = [
        (abs(then - now), name, then, now)
        for name, told, least_mg_l in _COMPARED
        if (then := told(older)) is not None
        and (now := told(newer)) is not None
        and abs(then - now) > max(least_mg_l, DISAGREE_PERCENT / 100.0 * then)
    ]
    if not differing:
        return []
    _, name, then, now = max(differing)
    values = {
        "older": older.sample, "newer": newer.sample, "analytes": (name,), "then_mg_l": then,
        "now_mg_l": now,
    }  # fmt: skip
    return [Note("samples-differ", values)]


def _alkalinity_mg_l(sample: Sample) -> float | None:
    told = alkalinity_meq_l(sample)
    return None if told is None else told * CACO3_EQUIVALENT_G


def _silica_mg_l(sample: Sample) -> float | None:
    told = sample.mmol_l.get("SiO2")
    return None if told is None else told * SPECIES["SiO2"].molar_mass_g_mol


_COMPARED: tuple[tuple[str, Callable[[Sample], float | None], float], ...] = (
    ("hardness", hardness_mg_l_caco3, 20.0),
    ("alkalinity", _alkalinity_mg_l, 20.0),
    ("SiO2", _silica_mg_l, 3.0),
)
"""What is compared, and the least difference [mg/L] that counts."""


def _fuller(before: Sequence[Sample], newest: Sample) -> list[Note]:
    """The newest counts, whatever it tells; one before it may have told much more."""
    told = _told(newest)
    fullest = max(reversed(before), key=lambda sample: len(_told(sample) - told), default=newest)
    more = sorted(_told(fullest) - told, key=_OF_LOAD.index)
    if len(more) < _FULLER_BY:
        return []
    values = {"sample": newest.sample, "fuller": fullest.sample, "analytes": tuple(more)}
    return [Note("fuller-sample", values)]


def _told(sample: Sample) -> set[str]:
    others = {
        "alkalinity": alkalinity_meq_l(sample), "hardness": hardness_mg_l_caco3(sample),
        "pH": sample.ph,
    }  # fmt: skip
    return {key for key in _OF_LOAD if key in sample.mmol_l or others.get(key) is not None}
