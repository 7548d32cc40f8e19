"""water-tests.csv: the rows of each sample put together."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from waterkit.club.schema import Figure
from waterkit.club.tables import Row, Table, basis_of
from waterkit.errors import FieldError, Problem
from waterkit.water.doubts import suspicions
from waterkit.water.ions import SPECIES
from waterkit.water.measured import tells_enough
from waterkit.water.sample import Result, Sample, WaterTest, gather, measure

TESTS_FILE = "water-tests.csv"
FEED = "feed"
_UNITS = {"alkalinity": "meq/L", "conductivity": "uS/cm", "temperature": "degC", "pH": "1"}
_UNITS |= {"turbidity": "NTU"}


@dataclass(frozen=True, slots=True)
class Measured:
    """One row and what it says: the result, and the bounds of its range where it has some."""

    row: Row[WaterTest]
    result: Result
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Samples:
    """The samples of a folder, each figure of them, and all that is wrong with them."""

    samples: tuple[Sample, ...] = ()
    figures: tuple[Figure, ...] = ()
    problems: tuple[Problem, ...] = ()


def read_samples(table: Table[WaterTest]) -> Samples:
    """Measure each row and gather the rows of each sample."""
    if not table.present:
        hint = "write at least one test of the feed, as the laboratory's sheet gives it"
        return Samples(problems=(Problem(table.file, "the file is missing", hint),))
    groups: dict[tuple[str, str], list[Measured]] = {}
    problems: list[Problem] = []
    for row in table.rows:
        try:
            measured = _measured(row)
        except FieldError as error:
            problems.append(table.problem((row, error.field), error.message, error.hint))
        else:
            groups.setdefault((row.record.sample, row.record.point), []).append(measured)
    for rows in groups.values():
        problems += _contradictions(table, rows)
    if not any(row.record.point == FEED for row in table.rows) and not table.problems:
        message, hint = "no row is a test of the feed", f"write {FEED} in the column point"
        problems.append(Problem(table.file, message, hint, field="point"))
    if problems:
        return Samples(problems=tuple(problems))
    samples = tuple(_gathered(rows) for rows in groups.values())
    doubts = (_doubts(table, *both) for both in zip(groups.values(), samples, strict=True))
    figures = tuple(figure for rows in groups.values() for figure in _figures(table.file, rows))
    doubtful = (
        *(doubt for each in doubts for doubt in each),
        *_two_names(table, groups.values()),
        *_too_little(table, samples),
    )
    return Samples(samples, figures, doubtful)


def _too_little(table: Table[WaterTest], samples: Sequence[Sample]) -> Iterator[Problem]:
    """No sample of the supply tells anything of its salts: nothing can be planned with it."""
    feed = [sample for sample in samples if sample.point == FEED]
    if feed and not any(tells_enough(sample) for sample in feed):
        names = ", ".join(repr(sample.sample) for sample in feed)
        message = f"sample {names} cannot be planned with: it tells nothing of the salts in it"
        hint = "write its hardness and alkalinity, or at least its conductivity"
        yield Problem(table.file, message, hint, severity="warning")


def _measured(row: Row[WaterTest]) -> Measured:
    result = measure(row.record)
    low, high = _bound(row, "low"), _bound(row, "high")
    if low is not None and low > result.value:
        raise FieldError("low is above value", "low, value and high go upwards", "value low")
    if high is not None and high < result.value:
        raise FieldError("high is below value", "low, value and high go upwards", "value high")
    return Measured(row, result, low, high)


def _bound(row: Row[WaterTest], part: str) -> float | None:
    """A bound of the value in its core unit, read as the value is."""
    cell = row.cells.get(("value", part))
    if cell is None:
        return None
    try:
        if isinstance(cell, FieldError):
            raise cell
        return measure(replace(row.record, value=cell)).value
    except FieldError as error:
        raise FieldError(error.message, error.hint, f"value {part}") from error


def _gathered(rows: Sequence[Measured]) -> Sample:
    first = rows[0].row.record
    results = [measured.result for measured in rows]
    return gather(first.sample, first.source, first.date, first.point, results)


def _contradictions(table: Table[WaterTest], rows: Sequence[Measured]) -> Iterator[Problem]:
    """Rows of one sample that name another day or source, or an analyte once more."""
    first, seen = rows[0].row.record, dict[str, int]()
    for measured in rows:
        row, analyte = measured.row, measured.result.analyte
        for name in ("date", "source"):
            told, before = getattr(row.record, name), getattr(first, name)
            if told != before:
                message = f"sample {first.sample!r} had {str(before)!r} further up"
                hint = "give another sample another name"
                yield table.problem((row, name), message, hint)
        if analyte in seen:
            message = f"{row.record.analyte!r} stands in line {seen[analyte]} already"
            hint = "take one row away, or give the second test a sample name of its own"
            yield table.problem((row, "analyte"), message, hint)
        seen.setdefault(analyte, row.line)


def _two_names(table: Table[WaterTest], groups: Iterable[Sequence[Measured]]) -> Iterator[Problem]:
    """Samples of the feed of one source and one day: a name may be mistyped in some rows."""
    seen: dict[tuple[dt.date, str], str] = {}
    for rows in groups:
        row = rows[0].row
        test = row.record
        other = seen.setdefault((test.date, test.source), test.sample) if test.point == FEED else ""
        if other not in ("", test.sample):
            message = f"{other!r} is a sample of the same source and day"
            hint = "only one of them is planned with: give rows of one sample one name"
            yield table.problem((row, "sample"), message, hint, "warning")


def _doubts(table: Table[WaterTest], rows: Sequence[Measured], sample: Sample) -> Iterator[Problem]:
    """What in a sample is hard to believe, at the row it is about."""
    lines = {measured.result.analyte: measured.row for measured in reversed(rows)}
    for doubt in suspicions(sample):
        row = lines.get(doubt.analyte, rows[0].row)
        yield table.problem((row, "value"), doubt.message, doubt.hint, "warning")


def _figures(file: str, rows: Sequence[Measured]) -> Iterator[Figure]:
    for measured in rows:
        row, result = measured.row, measured.result
        unit = _UNITS.get(result.analyte, "mmol/L" if result.analyte in SPECIES else "mg/L")
        yield Figure(
            f"{file}:{row.record.sample}:{result.analyte}", result.value, unit,
            basis_of(row.cells, "measured"), measured.low, measured.high, row.record.note, file,
            row.line,
        )  # fmt: skip
