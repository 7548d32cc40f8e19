"""Any readings and any what-ifs that a club's files can hold, for hypothesis."""

import dataclasses
import datetime as dt
from decimal import Decimal
from typing import Any

import numpy as np
from hypothesis import strategies as st

from tests.club.any_record import PLAIN, any_of
from waterkit.club.long_tables import as_utc
from waterkit.club.schema import Scenario
from waterkit.quantities import quantity_of
from waterkit.water.readings import Reading, Readings

MOMENTS = st.integers(0, 2 * 10**9).map(
    lambda second: dt.datetime(2000, 1, 1, tzinfo=dt.UTC) + dt.timedelta(seconds=second)
)


@st.composite
def logs(draw: st.DrawFn) -> Readings | None:
    """Readings as reading leaves them, or none; the water meter never falls."""
    rows: list[Reading] = draw(st.lists(any_of(Reading, time=MOMENTS), max_size=4))
    if not rows:
        return None
    totals = iter(sorted(r.treated_total_l for r in rows if r.treated_total_l is not None))
    rising = {
        id(one): next(totals)
        for one in sorted(rows, key=lambda one: one.time)
        if one.treated_total_l is not None
    }
    rows = [dataclasses.replace(one, treated_total_l=rising.get(id(one))) for one in rows]
    return readings_of(rows)


def readings_of(rows: list[Reading]) -> Readings:
    """Rows as arrays: UTC, NaN and empty words where nothing is told."""
    columns: dict[str, Any] = {}
    for field in dataclasses.fields(Reading):
        values = [getattr(row, field.name) for row in rows]
        if field.name == "time":
            columns[field.name] = np.array([as_utc(value) for value in values], dtype="M8[s]")
        elif quantity_of(Reading, field.name):
            numbers = [np.nan if value is None else value for value in values]
            columns[field.name] = np.array(numbers, dtype=np.float64)
        else:
            columns[field.name] = np.array([value or "" for value in values], dtype=object)
    return Readings(**columns)


OVERLAYS = st.dictionaries(
    st.sampled_from(["league", "practice", "bonspiel"]),
    st.floats(0.5, 9).map(lambda litres: f"{litres!r} L"),
).map(lambda keys: {"pebble": keys, "name": "with more pebble"} if keys else {})
NAMES = st.text("abcdefgh-9", min_size=1, max_size=8)


@st.composite
def scenarios(draw: st.DrawFn) -> tuple[Scenario, ...]:
    """What-ifs that lay keys over the club, in the order of their files."""
    names = sorted(draw(st.sets(NAMES, max_size=2)), key=lambda name: f"{name}.toml")
    return tuple(
        Scenario(
            name, f"scenarios/{name}.toml", draw(OVERLAYS), capital=draw(PLAIN[Decimal]) + 100_000,
            life_seasons=draw(st.none() | st.floats(0.5, 30)), residual=draw(PLAIN[Decimal]),
        )
        for name in names
    )  # fmt: skip
