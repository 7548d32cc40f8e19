"""The tables of a club as text, from the records: units in the headings, no empty column."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from waterkit.club.columns import BASIS, IN_CELL, NOTE, title_of
from waterkit.club.models import Slot, slots_of
from waterkit.club.pen import PLAIN, Pen, cell_text, figure_text, plain_text
from waterkit.club.places import places_of, slots_for
from waterkit.club.sample_rows import rows_of, value_text
from waterkit.club.water_tests import TESTS_FILE
from waterkit.water.readings import Reading, Readings
from waterkit.water.sample import Sample, WaterTest

Cells = Mapping[str, str]
_LABORATORY = "measured"
"""Whose the figures of a water test are where nothing is said."""


def table_csv(file: str, record: type, rows: Sequence[object], pen: Pen) -> str:
    """A table, one row a record."""
    places = places_of(file, rows, pen.figures.values())
    lines = [
        dict(_cells(pen, row, f"{file}:{place}")) for row, place in zip(rows, places, strict=True)
    ]
    return _text(record, lines)


def tests_csv(samples: Iterable[Sample], pen: Pen) -> str:
    """water-tests.csv, one row an analyte."""
    return _text(WaterTest, [line for sample in samples for line in _test_lines(pen, sample)])


def readings_csv(readings: Readings) -> str:
    """readings.csv; times in UTC."""
    columns = [_reading_cells(slot, readings) for slot in slots_of(Reading).values()]
    heads = [_head(slot) for slot in slots_of(Reading).values()]
    lines = [dict(zip(heads, row, strict=True)) for row in zip(*columns, strict=True)]
    return _text(Reading, lines)


def _text(record: type, lines: Sequence[Cells]) -> str:
    slots = slots_of(record).values()
    heads = [_head(slot, part) for slot in slots for part in ("", "low", "high")]
    used = {head for line in lines for head, cell in line.items() if cell}
    used |= {_head(slot) for slot in slots if slot.required}
    header = [head for head in dict.fromkeys([*heads, BASIS, NOTE]) if head in used]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows([line.get(head, "") for head in header] for line in lines)
    return out.getvalue()


def _head(slot: Slot, part: str = "") -> str:
    unit = slot.quantity.unit if slot.quantity and slot.key not in IN_CELL else "1"
    name = f"{title_of(slot.key)} {part}".rstrip()
    return name if unit == "1" else f"{name} [{unit}]"


def _cells(pen: Pen, record: Any, place: str) -> Iterator[tuple[str, str]]:
    """Heading and text of each cell of a row that is not empty."""
    slots = slots_for(record)
    for slot in slots.values():
        value = getattr(record, slot.attribute)
        if slot.is_figure and value is not None:
            yield from _figure_cells(pen, value, slot, place, set(slots))
        elif not slot.is_figure and value is not None and value != slot.default:
            yield _head(slot), cell_text(plain_text(value, slot))


def _figure_cells(
    pen: Pen, value: Any, slot: Slot, place: str, taken: set[str]
) -> Iterator[tuple[str, str]]:
    known = pen.known(f"{place}:{title_of(slot.key)}", value)
    if known is None:
        return
    for part, number in (("", known.value), ("low", known.low), ("high", known.high)):
        if number is not None:
            text = figure_text(number, slot, value) if slot.key in IN_CELL else number
            yield _head(slot, part), cell_text(text)
    if BASIS not in taken and known.basis != PLAIN:
        yield BASIS, known.basis
    if NOTE not in taken and known.note:
        yield NOTE, known.note


def _test_lines(pen: Pen, sample: Sample) -> Iterator[Cells]:
    for analyte, row in rows_of(sample):
        line = dict(_cells(pen, row, ""))
        known = pen.figures.get(f"{TESTS_FILE}:{sample.sample}:{analyte}")
        if known is not None:
            bounds = {"value low": known.low, "value high": known.high}
            line |= {
                head: value_text(row, bound) for head, bound in bounds.items() if bound is not None
            }
            line |= {NOTE: known.note, BASIS: "" if known.basis == _LABORATORY else known.basis}
        elif pen.unlisted != PLAIN:
            line[BASIS] = pen.unlisted
        yield line


def _reading_cells(slot: Slot, readings: Readings) -> list[str]:
    column = getattr(readings, slot.attribute)
    if column.dtype.kind == "M":
        return [f"{moment}Z" for moment in np.datetime_as_string(column)]
    if column.dtype.kind == "f":
        return ["" if np.isnan(value) else cell_text(float(value)) for value in column]
    return [str(word) for word in column]
