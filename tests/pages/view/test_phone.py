"""The card's script against the command: the same verdicts, values and sentences, in a browser."""

import dataclasses
import datetime as dt
import random
from collections.abc import Callable, Iterator
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.tank.tank_cases import METERS, STRICT
from waterkit.club import read_club
from waterkit.club.log import append_lines, append_rows
from waterkit.club.schema import Club
from waterkit.pages.html import tank_card
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.verdict import verdict_words
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.at_tank import Asked, AtTank
from waterkit.plan.carried import Carried
from waterkit.quantities import CONDUCTIVITY, TEMPERATURE, VOLUME
from waterkit.tank.baked import SCALE
from waterkit.tank.beliefs import check_tells
from waterkit.tank.case import POINTS, SEEN, Known
from waterkit.tank.rules import RULES
from waterkit.units import to_core
from waterkit.water.limits import USES
from waterkit.water.meter import Meter

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

EACH = 1_300
EVERY = (*METERS.values(), Meter("pure", "pure water"), Meter("at 20", reference_c=20.0),
         Meter("steep", coefficient_percent_per_c=4.5))  # fmt: skip
NAMES = ("", *(meter.name for meter in EVERY))
STATES = ("", "standard-expired", "standard-overdue", "corrected-twice", "not-corrected",
          "standard-off", "never-checked", "meter-drifts")  # fmt: skip
JUDGED = """cases => cases.map(each => {
    const question = { ...each, celsius: celsiusOf(carried, each.typed),
                       litres: each.volume * carried.volume.litres };
    const said = saidOf(question);
    const found = judge(carried.table, carried.rules, said, each.known);
    const words = worded(carried, question, said, found);
    return { ...words, facts: words.facts.slice(0, 3), keys: found.reasons };
})"""


def _empty_hall(club: Club) -> Club:
    """The club with an empty hall and limits that no open water keeps."""
    train = tuple(
        dataclasses.replace(each, air_co2_ppm=420.0) if each.kind == "tank" else each
        for each in club.train
    )
    return dataclasses.replace(club, train=train, limits=STRICT)


CLUBS: dict[str, Callable[[Club], Club]] = {
    "metric": lambda club: club,
    "US": lambda club: dataclasses.replace(club, display="us", locale="en_US"),
    "German": lambda club: dataclasses.replace(_empty_hall(club), locale="de_DE"),
    "closed tank": lambda club: dataclasses.replace(
        club, layers=(),
        train=tuple(dataclasses.replace(each, open_=False) if each.kind == "tank" else each
                    for each in club.train),
    ),
}  # fmt: skip

AIR = {"air-or-resin", "air-explains", "air-alone", "more-than-air", "below-outlet",
       "above-outlet", "limit-below-air"}  # fmt: skip
NOT_MET = {
    "metric": {"limit-below-air"}, "US": {"limit-below-air"}, "German": set[str](),
    "closed tank": AIR,
}  # fmt: skip
"""Rules that no reading can lead to: common limits are above what air does, and no air reaches a
closed tank."""


@pytest.fixture
def opened(browser: "Browser", tmp_path: Path) -> "Iterator[Callable[[SeasonPlan], Page]]":
    """Opens the card of a plan without any network."""
    context = browser.new_context(offline=True, timezone_id="UTC")
    context.route("**/*", lambda route: (
        route.continue_() if route.request.url.startswith("file:") else route.abort()))  # fmt: skip

    def open_(plan: SeasonPlan) -> "Page":
        path = tmp_path / "card.html"
        path.write_text(tank_card(plan, Figures.of(plan.club, plan.as_of)).text(False), "utf-8")
        page = context.new_page()
        page.goto(path.as_uri())
        return page

    yield open_
    context.close()


class Cases:
    """Readings of all kinds, many of them near a limit, and anything that may be known."""

    def __init__(self, carried: Carried, seed: int) -> None:
        self.carried, self.table, self.random = carried, carried.table, random.Random(seed)  # noqa: S311 - cases, no secret

    def one(self) -> dict[str, Any]:
        pick = self.random
        point, use, meter = pick.choice(POINTS), pick.choice(USES), pick.choice(NAMES)
        unit = self.table.meters[meter].unit if pick.random() < 0.9 else "ppm"
        celsius = pick.choice(
            (pick.uniform(0, 26), pick.uniform(-3, 65), float(pick.randint(0, 25)))
        )
        typed = round(celsius * 1.8 + 32 if self.carried.club.display == "us" else celsius, 1)
        digits = pick.choice((0, 1, 1, 2, 2))
        return {
            "job": "fill" if point == "DI outlet" else use, "use": use, "point": point,
            "meter": meter, "unit": unit, "typed": typed,
            "reading": round(self.shown(meter, use, round(celsius * 10)), digits),
            "volume": pick.choice((0, 0, pick.randint(1, 3000), round(pick.uniform(0, 900), 1))),
            "seen": pick.sample(SEEN, pick.choice((0, 0, 0, 0, 1, 2))),
            "known": dataclasses.asdict(self.known(self.table.limits[use][0])),
        }  # fmt: skip

    def shown(self, meter: str, use: Any, tenths: int) -> float:
        """A reading: near a limit, near what air does, or anything up to far beyond the supply."""
        pick, row = self.random, self.table.meters[meter]
        near = self.table.from_25(pick.choice(self.table.limits[use]), tenths)
        air = self.table.at(self.table.air_in_use, tenths)
        pure = self.table.at(self.table.pure, tenths) // 2
        other = pure if pick.random() < 0.25 else int(10 ** pick.uniform(2, 8.5))
        actual = pick.choice((near, air, near + air * 3 // 4, other))
        return self.table.shown(row, actual, tenths) / SCALE * pick.uniform(0.97, 1.03)

    def known(self, good_25: int) -> Known:
        """Anything that may be known, the outlet often just good."""
        pick = self.random

        def maybe(low: float, high: float) -> int | None:
            return int(10 ** pick.uniform(low, high)) if pick.random() < 0.6 else None

        return Known(
            feed_25=maybe(5, 9.3),
            outlet_25=pick.choice((maybe(2, 5.5), int(good_25 * pick.uniform(0.9, 1.05)))),
            earlier_25=maybe(3, 7),
            frozen_shown=pick.choice((None, None, 13_000, 50_000)),
            standard=pick.choice(STATES) if pick.random() < 0.2 else "",  # type: ignore[arg-type]
            rinse_l=pick.choice((0, 0, 0, 120)), tank_l=maybe(2, 4),
            litres_left=pick.choice((maybe(2, 4), maybe(2, 4), 0)),
            log_unread=pick.random() < 0.1,
            feed_odd_25=maybe(3, 7) if pick.random() < 0.1 else None,
            reserve_percent=pick.choice((0, 7)), change_25=maybe(4, 5), expected_25=maybe(3, 5),
        )  # fmt: skip


def _by_command(carried: Carried, case: dict[str, Any], figures: Figures) -> dict[str, Any]:
    """What the command tells of the same case."""
    us = carried.club.display == "us"
    celsius = float(to_core(case["typed"], TEMPERATURE.us if us else "degC", TEMPERATURE))
    litres = float(to_core(case["volume"], VOLUME.us if us else "L", VOLUME))
    reading = float(to_core(case["reading"], "uS/cm", CONDUCTIVITY))
    found = AtTank(carried.club, carried.moment, Asked(
        reading, case["unit"], celsius, case["point"], case["use"], litres,
        case["meter"] or None, tuple(case["seen"]),
    ))  # fmt: skip
    vars(found).update(table=carried.table, known=Known(**case["known"]), resin=None)
    words = verdict_words(found, figures)
    return {
        "verdict": found.decision.verdict,
        "answer": words.answer,
        "reasons": list(words.reasons),
        "steps": list(words.steps),
        "facts": [
            {"label": fact.label, "text": fact.text, "remark": fact.remark}
            for fact in words.facts[:3]
        ],
        "keys": [
            {"key": note.key, "values": {
                name: list(value) if isinstance(value, tuple) else value
                for name, value in note.values.items()
            }} for note in found.decision.reasons
        ],
    }  # fmt: skip


@pytest.mark.parametrize("kind", CLUBS)
def test_card_and_command_agree_word_for_word(
    kind: str, plan: SeasonPlan, opened: "Callable[[SeasonPlan], Page]"
) -> None:
    club = CLUBS[kind](dataclasses.replace(plan.club, meters=EVERY))
    carried, figures = Carried(club, plan.as_of), Figures.of(club)
    make = Cases(carried, seed=sorted(CLUBS).index(kind))
    cases = [make.one() for _ in range(EACH)]
    by_card = opened(plan_season(club, plan.as_of)).evaluate(JUDGED, cases)
    verdicts, keys = set(), set()
    for case, told in zip(cases, by_card, strict=True):
        expected = _by_command(carried, case, figures)
        assert told == expected, case
        verdicts.add(told["verdict"])
        keys |= {each["key"] for each in told["keys"]}
    assert verdicts == {"fill", "hold", "do not fill"}
    assert {rule.key for rule in RULES} - keys <= NOT_MET[kind]


NUMBERS = [0.0, -0.04, 0.125, 0.25, 2.5, 12345.25, 1234567.5, -3.25, 0.1 + 0.2, 99999.95, 1e5]


@pytest.mark.parametrize("locale", ["en", "de_DE", "fr", "pl", "es", "de_CH", "en_IN", "sv"])
def test_numbers_are_written_as_everywhere_else(
    locale: str, plan: SeasonPlan, opened: "Callable[[SeasonPlan], Page]"
) -> None:
    pick = random.Random(locale)  # noqa: S311 - cases, no secret
    numbers = [*NUMBERS, *(round(10 ** pick.uniform(-3, 5.3), pick.randint(0, 6))
                           for _ in range(300))]  # fmt: skip
    figures = Figures(locale=locale)
    club = dataclasses.replace(plan.club, locale=locale)
    told = opened(plan_season(club, plan.as_of)).evaluate(
        "all => all.map(one => [given(one, carried.marks), temperatureText(carried, one),"
        " litresText(carried, one)])", numbers,
    )  # fmt: skip
    assert told == [
        [figures.given(one, "1"), figures.text(one, TEMPERATURE), figures.text(one, VOLUME)]
        for one in numbers
    ]


LOG = (
    ("2027-08-10T08:00", "standard", "84 uS/cm", "25 degC"),
    ("2027-08-13T20:00", "DI outlet", "0.6 uS/cm", "9 degC"),
    ("2027-08-14T09:00", "tank", "40 uS/cm", "9 degC"),
    ("2027-08-14T10:00", "DI outlet", "0.9 uS/cm", "8 degC"),
    ("2027-08-15T11:00", "DI outlet", "1.3 uS/cm", "8 degC"),
    ("2027-08-15T12:00", "tank", "1.3 uS/cm", "9 degC"),
    ("2027-08-15T13:00", "hose end", "1.3 uS/cm", "10 degC"),
    ("2027-08-15T14:00", "tank", "1.3 uS/cm", "9.5 degC"),
)
KNOWN_AT = "([kept, now, point, meter]) => knownAt(carried, kept, Date.parse(now), point, meter)"


@pytest.fixture
def folder(demo_folder: Path, tmp_path: Path) -> Path:
    """A copy of the demo club with some readings, its clock on UTC."""
    folder = tmp_path / "club"
    folder.mkdir()
    for path in demo_folder.iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    text = (folder / "club.toml").read_text("utf-8")
    zone = next((line for line in text.splitlines() if line.startswith("timezone")), "")
    text = text.replace(zone, 'timezone = "UTC"') if zone else f'timezone = "UTC"\n{text}'
    (folder / "club.toml").write_text(text, "utf-8")
    append_rows(folder, "reading", [
        {"time": time, "point": point, "conductivity": shown, "temperature": celsius,
         "meter": "pocket meter"} for time, point, shown, celsius in LOG
    ])  # fmt: skip
    return folder


def _known(club: Club, now: dt.datetime, point: Any, meter: str) -> dict[str, Any]:
    asked = Asked(1.0, "uS/cm", 9.0, point, meter=meter)
    return dataclasses.asdict(AtTank(club, now, asked).known)


@pytest.mark.parametrize("change", [None, "2027-08-14"])
def test_days_later_the_card_knows_what_the_command_would_know(
    change: str | None, folder: Path, opened: "Callable[[SeasonPlan], Page]"
) -> None:
    if change:
        row = {
            "date": change,
            "position": "lead",
            "vessel_out": "vessel 1",
            "vessel_in": "vessel 3",
        }
        append_rows(folder, "changeout", [{**row, "reason": "at limit"}])
    club, day = read_club(folder), dt.date(2027, 8, 15)
    page, found = opened(plan_season(club, day)), set()
    for hours in (*range(15, 24 * 4, 8), 24 * 30, 24 * 200):
        now = dt.datetime(2027, 8, 15, tzinfo=dt.UTC) + dt.timedelta(hours=hours)
        for point in POINTS:
            told = page.evaluate(KNOWN_AT, [[], now.isoformat(), point, "pocket meter"])
            assert told == _known(club, now, point, "pocket meter"), (hours, point)
            found.add((told["outlet_25"] is None, told["earlier_25"] is None, told["standard"]))
    assert len(found) >= 3


def test_a_check_on_the_phone_tells_what_the_command_would_tell(
    plan: SeasonPlan, opened: "Callable[[SeasonPlan], Page]"
) -> None:
    meters = tuple(dataclasses.replace(meter, standard_us_cm=84.0) for meter in EVERY)
    club = dataclasses.replace(plan.club, meters=meters)
    shares = (0.5, 0.7, 0.8, 0.88, 0.92, 1.0, 1.08, 1.13, 1.3, 1.6)
    rows = [
        {"meter": meter.name, "celsius": celsius, "us_cm": 84.0 * share}
        for meter, celsius, share in product(meters, (8.0, 15.0, 25.0, 31.0), shares)
    ]
    told = opened(plan_season(club, plan.as_of)).evaluate(
        "rows => rows.map(row => checkTells(carried, row))", rows
    )
    by_name = {meter.name: meter for meter in meters}
    assert told == [
        check_tells(row["us_cm"], row["celsius"], by_name[row["meter"]])  # type: ignore[arg-type,index]
        for row in rows
    ]
    assert set(told) == {"", "standard-off", "not-corrected", "corrected-twice"}


def test_a_reading_on_the_phone_that_is_logged_too_counts_once(
    folder: Path, opened: "Callable[[SeasonPlan], Page]"
) -> None:
    kept: list[dict[str, Any]] = [
        {"time": f"2027-08-14T{hour}:00+00:00", "point": point, "meter": "pocket meter",
         "us_cm": 2.5, "celsius": 7.5, "seen": [], "total_l": None, "use": "", "by": "Kim"}
        for hour, point in (("18", "DI outlet"), ("19", "tank"))
    ]  # fmt: skip
    now = "2027-08-16T10:00Z"
    count = "([kept, now]) => readingsUntil(carried, kept, Date.parse(now)).length"
    page = opened(plan_season(read_club(folder), dt.date(2027, 8, 15)))
    before = page.evaluate(count, [[], now])
    append_lines(folder, page.evaluate("linesOf", kept).encode(), "the phone")
    page = opened(plan_season(read_club(folder), dt.date(2027, 8, 15)))
    assert page.evaluate(count, [kept, now]) == before + 2


def test_readings_of_the_phone_count_as_the_command_would_count_them(
    folder: Path, opened: "Callable[[SeasonPlan], Page]"
) -> None:
    club = read_club(folder)
    page = opened(plan_season(club, dt.date(2027, 8, 15)))
    kept: list[dict[str, Any]] = [
        {"time": f"2027-08-16T{hour:02}:00+00:00", "point": point, "meter": "pocket meter",
         "us_cm": shown, "celsius": 7.5, "seen": [], "total_l": None, "use": "", "by": "Kim"}
        for hour, point, shown in ((8, "DI outlet", 0.7), (9, "tank", 1.6), (11, "tank", 9.9))
    ]  # fmt: skip
    now = dt.datetime(2027, 8, 16, 10, tzinfo=dt.UTC)
    append_lines(folder, page.evaluate("linesOf", kept).encode(), "the phone")
    logged = read_club(folder)
    for point in POINTS:
        told = page.evaluate(KNOWN_AT, [kept, now.isoformat(), point, "pocket meter"])
        known = _known(logged, now, point, "pocket meter")
        for name in ("outlet_25", "earlier_25"):
            ours, theirs = known.pop(name), told.pop(name)
            assert ours == pytest.approx(theirs, abs=20)  # 0.002 µS/cm: the table's own error
        assert told == known
