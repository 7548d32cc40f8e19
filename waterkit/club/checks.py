"""What must hold in club.toml and in the tables: small checks, each told all it is to look at."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from waterkit.club.club_file import FORMAT
from waterkit.club.currencies import CURRENCIES, nearest_currency
from waterkit.club.draft import Draft, Found
from waterkit.club.fields import did_you_mean
from waterkit.club.ice_checks import check_changeouts, check_draws, check_spots, check_steps
from waterkit.club.mentions import check_days, check_mentions
from waterkit.club.purchase_checks import (
    check_items,
    check_offers,
    check_orders,
    check_rents,
    check_stock,
    check_suppliers,
)
from waterkit.club.train_checks import check_train, check_vessels
from waterkit.dates import FIRST_DAY, LAST_DAY
from waterkit.errors import FieldError, Problem
from waterkit.ice.cover import check_patch
from waterkit.ice.marking_needs import check_colours
from waterkit.ice.paint import check_white
from waterkit.ice.sheet import check_rink
from waterkit.ice.spraying import check_boom
from waterkit.quantities import quantity_of, written_name
from waterkit.season.build import SeasonDates

PLANNED = ("layers", "draws", "vessels", "items", "suppliers", "offers", "stock")
"""Tables that somebody fills in before the season; the others grow in it."""
_DRAWS = ("first_draw", "last_draw")
LONGEST_SEASON_D = 400
LONGEST_WORK_H = 16.0
_ABOVE_ZERO = {
    "chiller": ("freeze_test_l_h", "spare_kw"),
    "season": ("work_hours_h",),
}
_SECTIONS: tuple[tuple[str, Callable[[Any], None]], ...] = (
    ("rink", check_rink),
    ("white", check_white),
    ("white", check_patch),
    ("boom", check_boom),
    ("colours", check_colours),
)
_LOCALE = re.compile(r"[a-z]{2,3}([-_][A-Za-z]{2,4}){0,2}")


def check_settings(draft: Draft) -> Found:
    """Format, name, currency, language and time zone are usable."""
    told = {key: draft.of(key) for key in ("format", "name", "currency", "locale", "timezone")}
    if told["format"] not in (None, FORMAT):
        hint = f"this version reads format = {FORMAT}"
        yield draft.head.problem(("format",), f"format {told['format']} is not known", hint)
    if told["name"] == "":
        yield draft.head.problem(("name",), "the club has no name", "write one; any text will do")
    if told["currency"] is not None and not re.fullmatch(r"[A-Z]{3}", told["currency"]):
        message, hint = (
            f"{told['currency']!r} is no currency code",
            "write three letters, such as EUR or CAD",
        )
        yield draft.head.problem(("currency",), message, hint)
    elif told["currency"] not in (None, *CURRENCIES):
        message = f"{told['currency']} is no currency in use"
        hint = nearest_currency(told["currency"])
        yield replace(draft.head.problem(("currency",), message, hint), severity="warning")
    if told["locale"] is not None and not _LOCALE.fullmatch(told["locale"]):
        message, hint = f"{told['locale']!r} is no language code", "write one such as en or de-CH"
        yield draft.head.problem(("locale",), message, hint)
    zone = told["timezone"]
    if zone not in (None, "UTC") and not _is_zone(zone) and available_timezones():
        hint = "write a name such as Europe/Berlin or America/Toronto"
        yield draft.head.problem(("timezone",), f"{zone!r} is no time zone", hint)


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (OSError, ValueError, KeyError):
        return False
    return True


def check_season(draft: Draft) -> Found:
    """Days come in their order."""
    season, chiller = draft.of("season"), draft.of("chiller")
    if season is None:
        return
    for fault in season_faults(season):
        yield draft.head.problem(("season", fault.field), fault.message, fault.hint)
    for number, closure in enumerate(season.closures):
        if closure.until < closure.from_:
            path = ("season", "closures", number, "until")
            yield draft.head.problem(path, f"{closure.until} is before {closure.from_}", "mend one")
    if chiller and chiller.plant_on and chiller.plant_on > season.first_draw:
        message = f"{chiller.plant_on} is after the first draw, {season.first_draw}"
        yield draft.head.problem(("chiller", "plant_on"), message, "mend one of the two dates")
    if season.work_hours_h > LONGEST_WORK_H:
        message = f"{season.work_hours_h:g} h of work a day from 08:00 on end after midnight"
        hint = f"write at most {LONGEST_WORK_H:g} h"
        yield draft.head.problem(("season", "work_hours"), message, hint)


def season_faults(season: SeasonDates) -> Iterator[FieldError]:
    """What is wrong with first and last draw: their years, their order, the days between them."""
    first, last = season.first_draw, season.last_draw
    slips = [name for name in _DRAWS if not FIRST_DAY <= getattr(season, name) <= LAST_DAY]
    for name in slips:
        hint = f"write a year from {FIRST_DAY.year} to {LAST_DAY.year}"
        yield FieldError(f"{getattr(season, name).year} is no year of play", hint, name)
    if slips:
        return
    if last < first:
        message = f"the last draw, {last}, is before the first, {first}"
        yield FieldError(message, "mend one of the two dates", "last_draw")
    if (last - first).days > LONGEST_SEASON_D:
        message = f"a season from {first} to {last} is too long"
        hint = f"at most {LONGEST_SEASON_D} days are planned at once"
        yield FieldError(message, hint, "last_draw")


def check_above_zero(draft: Draft) -> Found:
    """What is divided by is above zero."""
    for table, attributes in _ABOVE_ZERO.items():
        record = draft.of(table)
        for attribute in attributes if record else ():
            if getattr(record, attribute) == 0:
                key = written_name(attribute, quantity_of(type(record), attribute))
                message, hint = f"{key} is 0", "write what was measured, or leave the key out"
                yield draft.head.problem((table, key), message, hint)
    changeout = draft.of("changeout")
    if changeout and not changeout.at:
        hint = 'write one such as "90 % of rated litres", or leave the key out'
        message = "no mark tells when a vessel is changed"
        yield draft.head.problem(("changeout", "at"), message, hint)
    for number, mark in enumerate(changeout.at if changeout else ()):
        if mark.value <= 0:
            message = "a mark of 0 would change every vessel at once"
            yield draft.head.problem(("changeout", "at", number), message, "write the real mark")


def check_chiller(draft: Draft) -> Found:
    """Capacity and standing load go together, and something is left for freezing."""
    chiller = draft.of("chiller")
    both = bool(chiller) and None not in (chiller.capacity_kw, chiller.standing_load_kw)
    if both and chiller.capacity_kw <= chiller.standing_load_kw:
        message = "the standing load takes all of the capacity: nothing is left for freezing"
        yield draft.head.problem(("chiller", "capacity"), message, "mend one of the two")
    if chiller and (chiller.capacity_kw is None) != (chiller.standing_load_kw is None):
        missing = "capacity" if chiller.capacity_kw is None else "standing_load"
        hint = "capacity and standing_load go together; spare or freeze_test replace both"
        yield draft.head.problem(("chiller",), f"{missing} is missing", hint)


def check_sections(draft: Draft) -> Found:
    """The rink holds its sheets; the white can be mixed and put on."""
    for table, check in _SECTIONS:
        if (record := draft.of(table)) is not None:
            try:
                check(record)
            except FieldError as error:
                yield draft.head.problem((table, error.field), error.message, error.hint)


def check_limits(draft: Draft) -> Found:
    """No limit lets water be used that it forbids."""
    for use, limit in (draft.of("limits") or {}).items():
        if limit.act_us_cm < limit.good_us_cm:
            message = f"act, {limit.act_us_cm:g} uS/cm, is below good, {limit.good_us_cm:g} uS/cm"
            hint = "up to good water is used, above act it is not"
            yield draft.head.problem(("limits", use, "act"), message, hint)


def check_meters(draft: Draft) -> Found:
    """Each meter has a name of its own."""
    seen: set[str] = set()
    for number, meter in enumerate(draft.head.values.get("meters", ())):
        if meter.name in seen:
            path, message = ("meter", number, "name"), f"{meter.name!r} stands twice"
            yield draft.head.problem(path, message, "give each meter its own name")
        seen.add(meter.name)


def check_source(draft: Draft) -> Found:
    """What is blended was tested."""
    source, tests = draft.of("source"), draft.tests
    known = sorted({row.record.source for row in tests.rows if row.record.point == "feed"} - {""})
    if source is None or tests.problems or not tests.present:
        return
    for name in source.blend:
        if name not in known:
            hint = did_you_mean(name, known) if known else "write it in the column source"
            message = f"no test of the feed in {tests.file} has the source {name!r}"
            yield draft.head.problem(("source", "blend", name), message, hint)


def check_rows(draft: Draft) -> Found:
    """A table of the plan holds rows; one without counts as not there."""
    for name in PLANNED:
        table = getattr(draft, name)
        if table.present and not table.rows and not table.problems:
            hint = "write some, or take the file away; until then it is planned as without it"
            yield Problem(table.file, "the table holds no rows", hint, severity="warning")


CHECKS: tuple[Callable[[Draft], Found], ...] = (
    check_settings, check_season, check_chiller, check_above_zero, check_sections, check_limits,
    check_meters, check_source, check_vessels, check_train, check_changeouts, check_spots,
    check_steps, check_draws, check_items, check_suppliers, check_offers, check_stock, check_orders,
    check_rents, check_mentions, check_days, check_rows,
)  # fmt: skip
