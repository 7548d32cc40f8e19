"""Several samples of one supply: whether the newest still holds, and whether they agree."""

import datetime as dt
from collections.abc import Sequence

from waterkit.water.completion import complete
from waterkit.water.composition import larger, load
from waterkit.water.sample import Sample
from waterkit.working import Note

STALE_MONTHS = 12
DISAGREE_PERCENT = 15.0
_DAYS_A_MONTH = 365.2425 / 12


def sample_notes(
    samples: Sequence[Sample], as_of: dt.date, temperature_c: float
) -> tuple[Note, ...]:
    """Where the samples of a source are old, or load the resin differently.

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
        For each source: the newest is older than 12 months; the two newest differ in load by more
        than 15 %.

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
            notes += _stale(past[-1], as_of)
            notes += _disagreeing(past[-2:], temperature_c)
    return tuple(notes)


def _stale(newest: Sample, as_of: dt.date) -> list[Note]:
    months = (as_of - newest.date).days / _DAYS_A_MONTH
    if months <= STALE_MONTHS:
        return []
    return [Note("sample-old", {"sample": newest.sample, "months": int(months)})]


def _disagreeing(samples: Sequence[Sample], temperature_c: float) -> list[Note]:
    if len(samples) < 2:  # noqa: PLR2004 - a pair
        return []
    older, newer = samples
    before, after = (
        float(larger(load(complete(sample, temperature_c).water))) for sample in samples
    )
    percent = 100.0 * (after / before - 1.0) if before > 0 else 0.0
    if abs(percent) <= DISAGREE_PERCENT:
        return []
    values = {"older": older.sample, "newer": newer.sample, "percent": percent}
    return [Note("samples-disagree", values)]
