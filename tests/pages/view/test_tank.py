"""The limits on paper: the same as the verdict's, in what the club's meters show."""

import dataclasses
import datetime as dt
from itertools import pairwise, product

import pytest

from tests.tank.tank_cases import METERS
from waterkit.pages.view import tank
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.shapes import UNKNOWN, Table
from waterkit.plan import SeasonPlan
from waterkit.plan.carried import Carried
from waterkit.quantities import VOLUME
from waterkit.tank.baked import SCALE, MeterRow, tenths_of, whole
from waterkit.tank.case import Known, Point, Said
from waterkit.tank.table import CARD_TEMPERATURES_C
from waterkit.tank.verdict import VERDICTS, judge
from waterkit.water.limits import Limit, Use
from waterkit.water.meter import Meter

EVERY = (*METERS.values(), Meter("pure", "pure water"))


def _carried(plan: SeasonPlan, **changes: object) -> Carried:
    return Carried(dataclasses.replace(plan.club, **changes), plan.as_of)  # type: ignore[arg-type]


def _places(job: tank.Job, figures: Figures) -> list[tuple[int, str]]:
    return tank._temperatures(figures, CARD_TEMPERATURES_C if job.filling else tank.IN_USE_C)


def _columns(table: Table) -> dict[str, tuple[str, ...]]:
    return dict(zip((column.head for column in table.columns), zip(*table.rows, strict=True),
                    strict=True))  # fmt: skip


def _verdict(carried: Carried, row: MeterRow, job: tank.Job, tenths: int, shown: float) -> str:
    point: Point = "DI outlet" if job.filling else "tank"
    name = "" if row is tank.UNCORRECTED else row.name
    said = Said(point, job.uses[0], name, whole(shown), row.unit, tenths)  # type: ignore[arg-type]
    return judge(carried.table, said, Known()).verdict


@pytest.mark.parametrize("display", ["metric", "us"])
def test_what_the_card_prints_is_filled_and_one_digit_more_is_not(
    plan: SeasonPlan, display: str
) -> None:
    carried = _carried(plan, meters=EVERY, display=display)
    figures, tried = Figures.of(carried.club), 0
    for (_, row), job in product(tank.meters_of(carried), tank._jobs(carried.table)):
        told = _columns(tank._limit_table(carried.table, row, job, "it", figures))
        most = told.get(tank.NOT_ABOVE, told[tank.FILL])
        for (tenths, _), good, act in zip(
            _places(job, figures), told[tank.FILL], most, strict=True
        ):
            if good == UNKNOWN:
                assert tenths > row.warmest * 10
                continue
            digit = 10.0 ** -len(good.partition(".")[2]) + 0.0003
            assert _verdict(carried, row, job, tenths, float(good)) == "fill"
            assert _verdict(carried, row, job, tenths, float(good) + digit) != "fill"
            assert _verdict(carried, row, job, tenths, float(act)) != "do not fill"
            digit = 10.0 ** -len(act.partition(".")[2]) + 0.0003
            assert _verdict(carried, row, job, tenths, float(act) + digit) == "do not fill"
            tried += 1
    cold, warm = len(CARD_TEMPERATURES_C), len(tank.IN_USE_C)
    beyond = sum(celsius * 10 > row.warmest * 10 for _, row in tank.meters_of(carried)
                 for celsius in tank.IN_USE_C)  # fmt: skip
    assert tried == len(EVERY) * (cold + 3 * warm) - 3 * beyond


def test_between_two_rows_the_smaller_limit_holds(plan: SeasonPlan) -> None:
    """No limit between two rows is less than the smaller by more than 0.005 µS/cm, or ppm."""
    carried = _carried(plan, meters=EVERY)
    table, figures = carried.table, Figures.of(carried.club)
    for _, row in tank.meters_of(carried):
        for job in tank._jobs(table):
            good = _columns(tank._limit_table(table, row, job, "it", figures))[tank.FILL]
            rows = [(place, one) for place, one in zip(_places(job, figures), good, strict=True)
                    if one != UNKNOWN]  # fmt: skip
            for ((low, _), one), ((high, _), other) in pairwise(rows):
                smaller = min(float(one), float(other)) * SCALE
                for tenths in range(low, high + 1):
                    exact, _ = tank._limits(table, row, job.uses[0], tenths)
                    assert smaller <= exact + SCALE / 200, (row.name, job.uses, tenths)


def test_a_meter_that_shows_ppm_gets_its_limits_in_ppm(plan: SeasonPlan) -> None:
    meter = Meter("ppm pen", factor=0.5, resolution_us_cm=0.2)
    carried = _carried(plan, meters=(meter,))
    tables = tank.limit_tables(carried, Figures.of(carried.club))
    for table in tables:
        assert {column.unit for column in table.columns[1:]} == {"ppm"}
        assert "0.5 ppm for 1 µS/cm" in tables[0].caption
    flood = _columns(next(table for table in tables if table.title.startswith("Mist")))
    at_25 = flood["Water at"].index("25")
    assert (flood[tank.FILL][at_25], flood[tank.NOT_ABOVE][at_25]) == ("5.0", "10.0")
    working = tank.card(dataclasses.replace(plan, club=carried.club), Figures()).workings[0]
    assert working.result.endswith("on the card rounded down to 5.2\u00a0ppm")


def test_where_good_and_act_are_the_same_there_is_no_hold(plan: SeasonPlan) -> None:
    tables = tank.limit_tables(_carried(plan), Figures())
    white = next(table for table in tables if table.title.startswith("White"))
    assert "there is no hold" in white.caption
    assert tank.NOT_ABOVE not in _columns(white)
    assert all(
        tank.NOT_ABOVE in _columns(table) and "no hold" not in table.caption
        for table in tables if table is not white
    )  # fmt: skip


def test_where_air_alone_is_more_than_the_limit_only_more_than_air_is_refused(
    plan: SeasonPlan,
) -> None:
    limits: dict[Use, Limit] = {**plan.club.limits, "pebble": Limit(1.0, 1.5)}
    tables = tank.limit_tables(_carried(plan, limits=limits), Figures())
    pebble = _columns(next(table for table in tables if table.title.startswith("Pebble")))
    assert pebble[tank.NOT_ABOVE][0] == pebble["Air alone"][0]
    filling = _columns(next(table for table in tables if table.title.startswith("Filling")))
    assert float(filling[tank.NOT_ABOVE][0]) < float(pebble["Air alone"][0])


def test_no_table_is_too_wide_for_a_phone_and_a_meter_beyond_its_table_tells_nothing(
    plan: SeasonPlan,
) -> None:
    steep = Meter("steep", coefficient_percent_per_c=5.0)
    tables = tank.limit_tables(_carried(plan, meters=(steep,)), Figures())
    assert all(len(table.columns) <= 4 for table in tables)
    assert _columns(tables[0])[tank.FILL][0] == UNKNOWN
    assert _columns(tables[0])[tank.FILL][-1] == "5.0"


def test_the_card_speaks_with_the_words_of_its_tables(plan: SeasonPlan) -> None:
    topic = tank.card(plan, Figures())
    assert [fact.text for fact in topic.facts[:3]] == ["fill", "hold", "do not fill"]
    assert {fact.text for fact in topic.facts[:3]} == set(VERDICTS)
    heads = {column.head.lower() for table in topic.tables for column in table.columns}
    assert {"fill up to", "do not fill above"} <= heads
    assert "'fill up to'" in topic.facts[0].label
    assert "'do not fill above'" in topic.facts[2].label
    (working,) = topic.workings
    assert working.result == "10.48\u00a0µS/cm, on the card rounded down to 10.4\u00a0µS/cm"
    assert "Temperature of the water: 0\u00a0°C (worked out)" in working.inputs


def test_us_rows_are_whole_degrees_of_fahrenheit(plan: SeasonPlan) -> None:
    places = tank._temperatures(Figures("us"))
    assert [shown for _, shown in places][:4] == ["32", "36", "39", "43"]
    assert all(tenths == tenths_of((float(shown) - 32) / 1.8) for tenths, shown in places)


def test_without_meters_the_card_says_that_every_reading_is_on_hold(bare: SeasonPlan) -> None:
    topic = tank.card(bare, Figures())
    assert tank.NO_METER in topic.notes
    assert "a meter that corrects nothing" in topic.tables[1].title
    verdict = judge(Carried(bare.club, bare.as_of).table, Said("tank", "flood", "", 13_000,
                    "uS/cm", 60), Known())  # fmt: skip
    assert verdict.verdict == "hold"


def test_rows_to_write_in_have_the_columns_of_the_log(plan: SeasonPlan) -> None:
    table = tank.log_rows(Figures())
    assert [f"{c.head} [{c.unit}]" if c.unit else c.head for c in table.columns] == [
        "time", "point", "conductivity [µS/cm]", "temperature [°C]", "meter", "compensation",
        "reference [°C]", "treated total [L]", "use", "vessel", "by", "note",
    ]  # fmt: skip


def test_from_the_supply_printed_on_the_card_water_is_refused(plan: SeasonPlan) -> None:
    carried = _carried(plan, meters=EVERY)
    figures, feed_25 = Figures.of(carried.club), carried.known.feed_25
    assert feed_25 is not None
    known, tried = Known(feed_25=feed_25), 0
    filling = next(job for job in tank._jobs(carried.table) if job.filling)
    for _, row in tank.meters_of(carried):
        told = _columns(tank._limit_table(carried.table, row, filling, "it", figures, feed_25))
        for (tenths, _), supply in zip(tank._temperatures(figures), told["Supply"], strict=True):
            for part, like in ((0.8, True), (0.79, False)):
                shown = float(supply.replace(",", "")) * part + 1.0 * like  # rounded down
                said = Said("DI outlet", "flood", row.name, whole(shown), row.unit, tenths)  # type: ignore[arg-type]
                keys = {note.key for note in judge(carried.table, said, known).reasons}
                assert ("like-feed" in keys) == like, (row.name, tenths)
                tried += 1
    assert tried == 2 * len(EVERY) * len(tank._temperatures(figures))
    assert "4/5 of the figure under 'Supply'" in tank.refuse(plan)[0]


def test_pebble_finds_its_limits_in_hot_water(plan: SeasonPlan) -> None:
    tables = tank.limit_tables(_carried(plan), Figures())
    pebble = _columns(next(table for table in tables if table.title.startswith("Pebble")))
    assert pebble["Water at"][-3:] == ("40", "50", "60")
    assert UNKNOWN not in pebble[tank.FILL]


def test_the_card_tells_what_is_left_and_how_long_a_meter_is_believed(plan: SeasonPlan) -> None:
    carried, figures = _carried(plan), Figures.of(plan.club, plan.as_of)
    facts = {fact.label: fact for fact in tank.card(plan, figures).facts}
    assert figures.text(carried.known.tank_l, VOLUME) in facts["Resin left"].remark
    assert facts["Resin left"].text == figures.text(carried.at_tank.litres_left, VOLUME)
    assert figures.date(plan.as_of) in facts["Resin left"].remark
    (table,) = tank.meter_tables(plan, figures)
    (row,) = table.rows
    opened = plan.club.meters[0].opened
    assert opened is not None
    assert row[:2] == ("pocket meter", figures.date(opened + dt.timedelta(days=182)))
    assert any("is 0" in text for text in tank.DISBELIEVE)
