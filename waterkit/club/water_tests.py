"""water-tests.csv: the rows of each sample put together."""

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from waterkit.club.schema import Figure
from waterkit.club.tables import Row, Table
from waterkit.errors import FieldError, Problem
from waterkit.water.ions import SPECIES
from waterkit.water.sample import Result, Sample, WaterTest, gather, measure

TESTS_FILE = "water-tests.csv"
FEED = "feed"
_UNITS = {"alkalinity": "meq/L", "conductivity": "uS/cm", "temperature": "degC", "pH": "1"}
_UNITS |= {"turbidity": "NTU"}

Measured = tuple[Row[WaterTest], Result]


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
            measured = (row, measure(row.record))
        except FieldError as error:
            problems.append(_at(row, error.field, error.message, error.hint))
        else:
            groups.setdefault((row.record.sample, row.record.point), []).append(measured)
    for rows in groups.values():
        problems += _contradictions(rows)
    if not any(row.record.point == FEED for row in table.rows) and not table.problems:
        message, hint = "no row is a test of the feed", f"write {FEED} in the column point"
        problems.append(Problem(table.file, message, hint, field="point"))
    if problems:
        return Samples(problems=tuple(problems))
    samples = tuple(_gathered(rows) for rows in groups.values())
    figures = tuple(figure for rows in groups.values() for figure in _figures(rows))
    return Samples(samples, figures)


def _gathered(rows: Sequence[Measured]) -> Sample:
    first = rows[0][0].record
    results = [result for _, result in rows]
    return gather(first.sample, first.source, first.date, first.point, results)


def _contradictions(rows: Sequence[Measured]) -> Iterator[Problem]:
    """Rows of one sample that name another day or source, or an analyte once more."""
    first, seen = rows[0][0].record, dict[str, int]()
    for row, result in rows:
        for name in ("date", "source"):
            told, before = getattr(row.record, name), getattr(first, name)
            if told != before:
                message = f"sample {first.sample!r} had {str(before)!r} further up"
                yield _at(row, name, message, "give another sample another name")
        if result.analyte in seen:
            message = f"{row.record.analyte!r} stands in line {seen[result.analyte]} already"
            hint = "take one row away, or give the second test a sample name of its own"
            yield _at(row, "analyte", message, hint)
        seen.setdefault(result.analyte, row.line)


def _figures(rows: Sequence[Measured]) -> Iterator[Figure]:
    for row, result in rows:
        unit = _UNITS.get(result.analyte, "mmol/L" if result.analyte in SPECIES else "mg/L")
        path = f"{TESTS_FILE}:{row.record.sample}:{result.analyte}"
        figure = Figure(path, result.value, unit, "measured", file=TESTS_FILE, line=row.line)
        yield dataclasses.replace(figure, note=row.record.note)


def _at(row: Row[WaterTest], name: str, message: str, hint: str) -> Problem:
    return Problem(TESTS_FILE, message, hint, row.line, name)
