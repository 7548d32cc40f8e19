"""The water meter behind the resin never falls: new rows beside those that stand in a file."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from waterkit.club.books import BOOKS, Kind
from waterkit.club.long_tables import Moments, as_utc
from waterkit.club.readings import falls, totals_of
from waterkit.club.tables import Table, read_table
from waterkit.club.times import ClockSettings
from waterkit.errors import FieldError

NEW = 0
"""Stands for the line of a row that is not written yet."""


@dataclass(frozen=True, slots=True)
class Totals:
    """What the water meter showed, when, and the lines in which it stands."""

    times: Moments
    litres: NDArray[np.float64]
    lines: NDArray[np.int64]


def totals_there(kind: Kind, file: str, text: str, settings: ClockSettings) -> Totals:
    """The totals in a file, as far as its rows are sound."""
    if kind == "reading" and text.strip():
        try:
            return Totals(*totals_of(file, text.encode(), settings))
        except FieldError:  # no table at all; the reader of the file tells
            return _totals([], [])
    table: Table[Any] = read_table(file, text, BOOKS[kind].record, settings)
    return _totals(table.records, [row.line for row in table.rows])


def new_falls(there: Totals, records: Sequence[Any]) -> Iterator[str]:
    """What to say of new rows whose total does not fit between those before and after."""
    new = _totals(records, [NEW] * len(records))
    litres = np.concatenate([there.litres, new.litres])
    lines = np.concatenate([there.lines, new.lines])
    for before, after in falls(np.concatenate([there.times, new.times]), litres):
        less, more = f"{litres[after]:.15g} L", f"{litres[before]:.15g} L"
        if lines[after] == NEW:
            where = "the row before it" if lines[before] == NEW else f"line {lines[before]}"
            yield f"{less} is less than {more} in {where}"
        elif lines[before] == NEW:
            yield f"{more} is more than {less} in line {lines[after]}, which is later"


def _totals(records: Sequence[Any], lines: Sequence[int]) -> Totals:
    totals = [record.treated_total_l for record in records]
    return Totals(
        np.array([_time(record) for record in records], dtype="M8[s]"),
        np.array([np.nan if one is None else one for one in totals], dtype=np.float64),
        np.array(lines, dtype=np.int64),
    )


def _time(record: Any) -> np.datetime64:
    if (moment := getattr(record, "time", None)) is not None:
        return as_utc(moment)
    day: dt.date = record.date
    return np.datetime64(day, "s")
