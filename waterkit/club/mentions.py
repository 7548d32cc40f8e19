"""What the club's records mention: vessels, positions and meters it has, days it can have seen.

All of it is told as a warning: a vessel may be long gone, and only the club knows.
"""

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from waterkit.club.club_file import CLUB_FILE
from waterkit.club.draft import Draft, Found
from waterkit.club.fields import did_you_mean
from waterkit.dates import LAST_DAY
from waterkit.errors import Problem
from waterkit.treatment.train import Deioniser
from waterkit.water.readings import Readings

LONGEST_AFTER_D = 366
"""Days after the last draw that a record may be of; later than that its year is a slip."""
_DATED = {
    "layers": "done_on", "changeouts": "date", "checks": "date", "orders": "ordered_on",
    "spending": "date",
}  # fmt: skip
_A_SLIP = "mend the date; or, if it is right, the season in club.toml"


@dataclass(frozen=True, slots=True)
class Known:
    """What the log may mention: names by column with the file that lists them, the last day."""

    names: Mapping[str, tuple[Collection[str], str]]
    last_day: dt.date | None = None


def known_of(draft: Draft) -> Known:
    """What a club's readings may mention."""
    season, meters = draft.of("season"), draft.head.values.get("meters", ())
    return Known(
        {
            "meter": ({meter.name for meter in meters}, CLUB_FILE),
            "vessel": (draft.vessels.names, draft.vessels.file),
        },
        min(season.last_draw, LAST_DAY) + dt.timedelta(days=LONGEST_AFTER_D) if season else None,
    )


def check_mentions(draft: Draft) -> Found:
    """A change of vessels names vessels that are listed, in a position that the train has."""
    table, vessels = draft.changeouts, draft.vessels
    places = {
        place
        for one in draft.of("train") or ()
        if isinstance(one, Deioniser)
        for place in one.positions
    }
    for row in table.rows:
        change = row.record
        for name in ("vessel_out", "vessel_in"):
            if told := stranger(getattr(change, name), vessels.names, vessels.file):
                yield table.problem((row, name.replace("_", " ")), *told, "warning")
        if places and change.position not in places:
            message = f"the train has no position {change.position}"
            hint = f"known are: {', '.join(sorted(places))}; see the di row of {CLUB_FILE}"
            yield table.problem((row, "position"), message, hint, "warning")


def check_days(draft: Draft) -> Found:
    """No record is of a day long after the season."""
    last = known_of(draft).last_day
    for name, attribute in _DATED.items():
        table = getattr(draft, name)
        for row in table.rows:
            if told := late(getattr(row.record, attribute), last):
                yield table.problem((row, attribute.replace("_", " ")), *told, "warning")


def stranger(word: str, known: Collection[str], file: str) -> tuple[str, str] | None:
    """What to say of a name that is not listed, where names are listed at all: message and cure."""
    if not word or not known or word in known:
        return None
    return f"{word!r} is not in {file}", did_you_mean(word, sorted(known))


def late(day: dt.date | None, last: dt.date | None) -> tuple[str, str] | None:
    """What to say of a day that lies too long after the season: message and cure."""
    if day is None or last is None or day <= last:
        return None
    return f"{day} is more than a year after the last draw", _A_SLIP


def strange_readings(
    file: str, readings: Readings, lines: NDArray[np.int64], known: Known
) -> Iterator[Problem]:
    """Warnings about names in a log that are not listed, at the first row with each, and days."""
    for column, (names, listed) in known.names.items():
        words = getattr(readings, column)
        for word in sorted({*words.tolist()}):
            if told := stranger(word, names, listed):
                line = int(lines[np.flatnonzero(words == word)[0]])
                yield Problem(file, *told, line, column, "warning")
    if known.last_day is not None and len(readings):
        after = readings.time >= np.datetime64(known.last_day + dt.timedelta(days=1))
        for place in np.flatnonzero(after):
            if told := late(readings.time[place].astype("M8[D]").item(), known.last_day):
                yield Problem(file, *told, int(lines[place]), "time", "warning")
