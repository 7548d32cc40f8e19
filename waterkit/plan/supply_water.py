"""The water of the supply on a day: its newest samples completed, blended if the club blends."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from waterkit.club.schema import SourceWater
from waterkit.water.analysis import Completed, Sample, complete
from waterkit.water.composition import at_temperature, blend, speciation_of
from waterkit.working import Note


def feed_samples(samples: Sequence[Sample]) -> list[Sample]:
    """Samples of the supply, in the order of their days."""
    return sorted((s for s in samples if s.point == "feed"), key=lambda s: s.date)


def in_use(samples: Sequence[Sample], source: SourceWater) -> list[Sample]:
    """Those of the sources that the club blends; all of them where it blends none."""
    return [sample for sample in samples if sample.source in source.blend] or list(samples)


def supply_on(
    day: dt.date, samples: Sequence[Sample], source: SourceWater, celsius: float
) -> tuple[Completed, tuple[Note, ...]]:
    """The water of the supply on a day, blended where the club blends."""
    newest: dict[str, Sample] = {}
    for sample in samples:  # in the order of their dates
        place = sample.source if source.blend else ""
        if sample.date <= day or place not in newest:
            newest[place] = sample
    parts = [complete(sample, celsius) for sample in newest.values()]
    if len(parts) == 1:
        return parts[0], ()
    shares = [source.blend[name] for name in newest]
    water = at_temperature(blend([part.water for part in parts], shares), celsius)
    told = tuple(
        note
        for sample, part in zip(newest.values(), parts, strict=True)
        for note in of_sample(part.notes, sample)
    )
    values = {"samples": tuple(sample.sample for sample in newest.values())}
    return Completed(water, told, speciation_of(water)), (Note("blended", values),)


def of_sample(notes: Sequence[Note], sample: Sample) -> tuple[Note, ...]:
    """Notes that say which sample they are about, where several are planned with."""
    return tuple(
        replace(note, values={**note.values, "of_sample": sample.sample}) for note in notes
    )
