"""Moments: a date with a time of day, on the club's clock or with an offset.

A clock on the wall shows one hour twice when it is put back, and skips one when it is put forward.
A time in such an hour says nothing without its offset, and is a problem.
"""

import datetime as dt
import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from waterkit.club.fields import Settings, read_date, shown
from waterkit.errors import FieldError

_MOMENT = re.compile(
    r"([\d./-]+)[T ](\d{1,2}):(\d{2})(?::(\d{2})(?:\.\d+)?)? ?(Z|[+-]\d{2}:?\d{2})?"
)
_CURE = "write date and time as 2027-10-02T18:45, in the club's time zone or with an offset"


@dataclass(frozen=True, slots=True)
class ClockSettings(Settings):
    """What holds for a folder whose files tell times too: the club's time zone."""

    timezone: str = "UTC"


def zone_of(name: str) -> dt.tzinfo:
    """The time zone of that name; UTC for a name that is a problem of club.toml already."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return dt.UTC


def is_zone(name: str) -> bool:
    """Whether there is a time zone of that name."""
    return name == "UTC" or zone_of(name) is not dt.UTC


def read_moment(raw: object, settings: Settings) -> dt.datetime:
    """A moment with its offset.

    Raises
    ------
    FieldError
        For a time that cannot be read, or that the club's clock skipped or showed twice.
    """
    if isinstance(raw, dt.datetime):
        raw = raw.isoformat()
    found = _MOMENT.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if found is None:
        raise FieldError(f"{shown(raw)} is not a date with a time", _CURE)
    date, hour, minute, second, offset = found.groups()
    try:
        time = dt.time(int(hour), int(minute), int(second or 0))
    except ValueError as error:
        raise FieldError(f"there is no time {shown(raw)}", "hours go from 0 to 23") from error
    local = dt.datetime.combine(read_date(date, settings), time)
    zone = zone_of(getattr(settings, "timezone", "UTC"))
    try:
        moment = _with_offset(local, offset) if offset else _on_the_clock(local, zone)
        moment.astimezone(dt.UTC)
    except OverflowError as error:
        raise FieldError(f"{shown(raw)} is out of all time", _CURE) from error
    return moment


def _with_offset(local: dt.datetime, offset: str) -> dt.datetime:
    try:
        return dt.datetime.fromisoformat(local.isoformat() + offset)
    except ValueError as error:
        raise FieldError(f"there is no offset {offset!r}", _CURE) from error


def _on_the_clock(local: dt.datetime, zone: dt.tzinfo) -> dt.datetime:
    before, after = offsets_at(local, zone)
    if before == after:
        return local.replace(tzinfo=zone)
    text = local.isoformat(timespec="minutes")
    if before < after:
        message = f"the clock skips {text} that day"
        hint = f"write the time that the clock showed, or the offset behind it: {text}"
        raise FieldError(message, hint + _signed(before))
    hint = f"write the offset behind it: {text}{_signed(before)}, or {text}{_signed(after)}"
    message = f"the clock shows {text} twice that day"
    raise FieldError(message, f"{hint} once it was put back")


def offsets_at(local: dt.datetime, zone: dt.tzinfo) -> tuple[dt.timedelta, dt.timedelta]:
    """Offsets before and after a change of the clock at that time; both the same without one.

    Where the clock shows the time twice, the first is the larger; where it skips it, the smaller.
    """
    try:
        before, after = (local.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
    except OverflowError:
        before = after = None
    return before or dt.timedelta(0), after or dt.timedelta(0)


def clock_text(moment: dt.datetime, zone: dt.tzinfo) -> str:
    """A moment as the club's clock shows it, with its offset only where it needs one."""
    local = moment.astimezone(zone)
    before, after = offsets_at(local.replace(tzinfo=None), zone)
    plain = local if before != after else local.replace(tzinfo=None)
    return plain.isoformat(timespec="seconds" if local.second else "minutes")


def _signed(offset: dt.timedelta) -> str:
    return dt.datetime(2000, 1, 1, tzinfo=dt.timezone(offset)).isoformat()[19:]
