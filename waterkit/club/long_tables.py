"""The cells of a long table by the column: read by the standard csv module, or by pandas.

Both ways hand out the same: words as codes, numbers as floats, moments as UTC. A cell that is not
plainly what its column holds is *odd*: whoever asks has its row read one by one instead, which
tells what is wrong with it.
"""

import datetime as dt
import io
import warnings
from collections.abc import Callable, Sequence
from functools import cache
from typing import TYPE_CHECKING, Literal, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from waterkit.club.columns import Sheet
from waterkit.club.dialects import Dialect, plain_number
from waterkit.club.fields import Settings
from waterkit.club.times import offsets_at, read_moment, zone_of
from waterkit.errors import FieldError
from waterkit.units import parse_number

if TYPE_CHECKING:
    import pandas as pd

T = TypeVar("T")
Kind = Literal["number", "words", "text"]
TYPES: dict[Kind, str] = {"words": "category", "text": "object"}
Flags = NDArray[np.bool_]
Moments = NDArray[np.datetime64]
_NUMBERS = frozenset({float, int})
NO_MOMENT = np.datetime64("NaT", "s")
EARLIEST, LATEST = np.datetime64("1900-01-01"), np.datetime64("2200-01-01")
"""Between these, moments are reckoned by the column."""
CLOCKS = ("%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M", "%d.%m.%Y %H:%M")
SLASHED = {"dmy": ("%d/%m/%Y %H:%M",), "mdy": ("%m/%d/%Y %H:%M",)}


class Cells(Protocol):
    """A table by the column; ``lines`` tells on which line each row starts."""

    lines: NDArray[np.int64]

    def words(self, place: int) -> tuple[NDArray[np.int64], list[str]]:
        """What stands in a column: for each row a place in the list of different words."""

    def numbers(self, place: int) -> tuple[NDArray[np.float64], Flags]:
        """Numbers of a column, NaN where none stands, and which cells are odd."""

    def moments(self, place: int) -> Moments:
        """Moments of a column in UTC, NaT where none stands and where the cell is odd."""

    def empty(self, place: int) -> Flags:
        """Which cells of a column are empty."""

    def strays(self, width: int) -> Flags:
        """Which rows have more cells than the header."""

    def blank(self, rows: NDArray[np.int64]) -> Flags:
        """Which of some rows hold nothing at all."""


class SheetCells:
    """Cells that the standard csv module read."""

    def __init__(self, sheet: Sheet, dialect: Dialect, settings: Settings) -> None:
        self.lines = np.array([line for line, _ in sheet.rows], dtype=np.int64)
        self._rows = [cells for _, cells in sheet.rows]
        self._dialect = dialect
        self._settings = settings

    def _cells(self, place: int) -> list[str]:
        return [cells[place] if place < len(cells) else "" for cells in self._rows]

    def words(self, place: int) -> tuple[NDArray[np.int64], list[str]]:
        """For each row a place in the list of different words."""
        known: dict[str, int] = {}
        codes = [known.setdefault(cell, len(known)) for cell in self._cells(place)]
        return np.array(codes, dtype=np.int64), list(known)

    def numbers(self, place: int) -> tuple[NDArray[np.float64], Flags]:
        """Numbers of a column, and which cells are odd."""
        read = _unless_odd(lambda cell: parse_number(plain_number(cell, self._dialect)))
        found = [(cell, read(cell) if cell else None) for cell in self._cells(place)]
        odd = np.array([bool(cell) and value is None for cell, value in found], dtype=np.bool_)
        values = [np.nan if value is None else value for _, value in found]
        return np.array(values, dtype=np.float64), odd

    def moments(self, place: int) -> Moments:
        """Moments of a column."""
        read = _unless_odd(lambda cell: as_utc(read_moment(cell, self._settings)))
        found = [read(cell) for cell in self._cells(place)]
        return np.array([NO_MOMENT if one is None else one for one in found], dtype="M8[s]")

    def empty(self, place: int) -> Flags:
        """Which cells of a column are empty."""
        return np.array([not cell for cell in self._cells(place)], dtype=np.bool_)

    def strays(self, width: int) -> Flags:
        """Which rows have more cells than the header."""
        return np.array([len(cells) > width for cells in self._rows], dtype=np.bool_)

    def blank(self, rows: NDArray[np.int64]) -> Flags:
        """None: blank rows are left out when the sheet is parted."""
        return np.zeros(len(rows), dtype=np.bool_)


def _unless_odd(read: Callable[[str], T]) -> Callable[[str], T | None]:
    """A reader that gives None for what cannot be read, and reads each text once."""

    @cache
    def reader(cell: str) -> T | None:
        try:
            return read(cell)
        except FieldError:
            return None

    return reader


def as_utc(moment: dt.datetime) -> np.datetime64:
    """A moment as the arrays hold it: UTC, in whole seconds."""
    return np.datetime64(moment.astimezone(dt.UTC).replace(tzinfo=None), "s")


class FrameCells:
    """Cells that pandas read."""

    def __init__(self, frame: "pd.DataFrame", dialect: Dialect, settings: Settings) -> None:
        self.lines = np.arange(2, 2 + len(frame), dtype=np.int64)
        self._frame = frame
        self._dialect = dialect
        self._settings = settings

    @classmethod
    def read(
        cls, data: bytes, kinds: Sequence[Kind], dialect: Dialect, settings: Settings
    ) -> "FrameCells":
        """Read a table whose header stands in the first line.

        ``kinds`` tells for each column whether it holds numbers, words (few different texts) or
        texts (many).

        Raises
        ------
        ValueError
            Where a row does not have the columns of the header.
        """
        import pandas as pd

        types = {place: TYPES[kind] for place, kind in enumerate(kinds) if kind in TYPES}
        with warnings.catch_warnings():
            warnings.simplefilter("error", pd.errors.ParserWarning)
            warnings.simplefilter("ignore", pd.errors.DtypeWarning)
            try:
                frame = pd.read_csv(
                    io.BytesIO(data), sep=dialect.delimiter,
                    decimal="," if dialect.commas else ".", header=0,
                    names=list(range(len(kinds))), index_col=False,
                    dtype=types,
                    keep_default_na=False, na_values=[""], skip_blank_lines=False,
                )  # fmt: skip
            except pd.errors.ParserWarning as warning:
                raise ValueError(str(warning)) from warning
        return cls(frame, dialect, settings)

    def words(self, place: int) -> tuple[NDArray[np.int64], list[str]]:
        """For each row a place in the list of different words."""
        column = self._frame[place].cat
        words = [" ".join(str(word).split()) for word in column.categories]
        codes = np.asarray(column.codes, dtype=np.int64)  # an empty cell is -1
        return codes, [*words, ""]

    def numbers(self, place: int) -> tuple[NDArray[np.float64], Flags]:
        """Numbers of a column, and which cells are odd.

        A column that is not plain holds texts in places; each text is read as the csv module's are.
        """
        column = self._frame[place]
        if column.dtype.kind in "fiu":
            values = column.to_numpy(dtype=np.float64, copy=True)
            return values, np.zeros(len(column), dtype=np.bool_)
        read, cells = _unless_odd(self._number), column.to_numpy(dtype=object)
        values = np.full(len(cells), np.nan)
        plain = np.fromiter(map(_NUMBERS.__contains__, map(type, cells)), np.bool_, len(cells))
        values[plain] = cells[plain].astype(np.float64)
        for row in np.flatnonzero(~plain):
            if isinstance(cells[row], str) and (number := read(cells[row])) is not None:
                values[row] = number
        return values, (column.notna().to_numpy() & np.isnan(values))

    def _number(self, cell: str) -> float:
        if self._dialect.commas and "." in cell:
            raise FieldError(f"{cell!r} has a decimal point")
        return parse_number(plain_number(cell, self._dialect))

    def moments(self, place: int) -> Moments:
        """Moments of a column: one notation after the other is tried on what is left."""
        import pandas as pd

        texts = self._frame[place]
        moments = np.full(len(texts), NO_MOMENT)
        left = np.arange(len(texts))
        for form in self._forms(texts):
            if not len(left):
                break
            zoned = form.endswith("%z")
            some = texts if len(left) == len(texts) else texts.iloc[left]
            told = pd.to_datetime(some, format=form, errors="coerce", utc=zoned)
            plain = (told.dt.tz_localize(None) if zoned else told).to_numpy().astype("M8[s]")
            if "%S" in form:
                plain[_beyond_the_minute(some, plain)] = NO_MOMENT
            moments[left] = _sane(plain) if zoned else _utc(_sane(plain), self._zone())
            left = left[np.isnat(plain)]
        today = np.abs(moments.astype("M8[D]") - np.datetime64("today")) <= np.timedelta64(1, "D")
        near = np.flatnonzero(today)  # pandas takes these two words for a time
        moments[near[texts.iloc[near].isin(("now", "today")).to_numpy()]] = NO_MOMENT
        return moments

    def _forms(self, texts: "pd.Series[str]") -> list[str]:
        """The notations of moments, those first that fit the first text: they fit most."""
        import pandas as pd

        clocks = [form + more for form in (*CLOCKS, *self._slashed()) for more in ("", ":%S")]
        forms = [form + zone for zone in ("", "%z") for form in clocks]
        first = texts.iloc[:1]
        fits = {
            form: pd.to_datetime(first, format=form, errors="coerce", utc=True).notna().all()
            for form in forms
        }
        return sorted(forms, key=lambda form: not fits[form])

    def _slashed(self) -> tuple[str, ...]:
        return SLASHED.get(self._settings.dates, ())

    def _zone(self) -> dt.tzinfo:
        return zone_of(getattr(self._settings, "timezone", "UTC"))

    def empty(self, place: int) -> Flags:
        """Which cells of a column are empty."""
        return self._frame[place].isna().to_numpy()

    def strays(self, width: int) -> Flags:
        """None: such a row cannot be read by pandas."""
        return np.zeros(len(self.lines), dtype=np.bool_)

    def blank(self, rows: NDArray[np.int64]) -> Flags:
        """Which of some rows hold nothing at all."""
        return self._frame.iloc[rows].isna().all(axis=1).to_numpy()


def _beyond_the_minute(texts: "pd.Series[str]", moments: Moments) -> NDArray[np.int64]:
    """Moments told with the second 60 or 61, which pandas counts on into the next minute."""
    seconds = (moments - moments.astype("M8[m]")).astype("m8[s]")
    near = np.flatnonzero(seconds <= np.timedelta64(1, "s"))
    beyond = texts.iloc[near].str.contains(":6[01]", regex=True).to_numpy(dtype=np.bool_)
    return near[beyond]


def _sane(moments: Moments) -> Moments:
    return np.where((moments >= EARLIEST) & (moments < LATEST), moments, NO_MOMENT)


def _utc(local: Moments, zone: dt.tzinfo) -> Moments:
    """Moments on the club's clock in UTC; NaT where the clock skips them or shows them twice.

    The offset is asked once a day, and for each moment only on days on which the clock is changed.
    """
    told = ~np.isnat(local)
    if not told.any():
        return local
    days = local[told].astype("M8[D]")
    first = days.min()
    number = (days - first).astype(np.int64)
    offsets = np.full(number.max() + 1, NO_OFFSET, dtype="m8[s]")
    for day in np.flatnonzero(np.bincount(number)):
        offsets[day] = _offset_of_day((first + day).astype(dt.date), zone)
    utc = local.copy()
    utc[told] -= offsets[number]
    changing = np.flatnonzero(told & np.isnat(utc))
    moments, places = np.unique(local[changing], return_inverse=True)
    at = [_offset_at(moment.astype(dt.datetime), zone) for moment in moments]
    utc[changing] = local[changing] - np.array(at, dtype="m8[s]")[places]
    return utc


def _offset_at(moment: dt.datetime, zone: dt.tzinfo) -> np.timedelta64:
    before, after = offsets_at(moment, zone)
    return np.timedelta64(before, "s") if before == after else NO_OFFSET


NO_OFFSET = np.timedelta64("NaT", "s")


def _offset_of_day(day: dt.date, zone: dt.tzinfo) -> np.timedelta64:
    """The offset that holds all day; NaT on a day on which the clock is changed."""
    midnight = dt.datetime.combine(day, dt.time())
    found = {*offsets_at(midnight, zone), *offsets_at(midnight + dt.timedelta(days=1), zone)}
    return np.timedelta64(found.pop(), "s") if len(found) == 1 else NO_OFFSET
