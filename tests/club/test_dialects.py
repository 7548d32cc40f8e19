"""Commas, semicolons, tabs; decimal points and commas; times as spreadsheets write them."""

import datetime as dt
from collections.abc import Callable

import pytest

from waterkit.club.dialects import delimiter_of
from waterkit.club.schema import Club

Told = Callable[..., list[str]]
Good = Callable[..., Club]
PLAIN = "vessel,position,resin [L],rated\nA,lead,102.5,9.5 kgr/ft3\nB,lag,1234.5,9 kgr/ft3\n"
WATER = "sample,date,analyte,value,unit,as\nwell,2027-06-22,calcium,98,mg/L,\n"


def parted(table: str, mark: str, decimal: str) -> str:
    """A table with other marks."""
    return table.replace(",", mark).replace(".", decimal)


@pytest.mark.parametrize(
    ("header", "mark"),
    [
        ("a,b,c", ","),
        ("a;b;c", ";"),
        ("a\tb\tc", "\t"),
        ("a", ","),
        ('"a, b, c";d', ";"),
        ("\n\na;b\n1,2,3\n", ";"),
        ("", ","),
    ],
)
def test_the_header_tells_what_parts_the_columns(header: str, mark: str) -> None:
    assert delimiter_of(header) == mark


@pytest.mark.parametrize("mark", [";", "\t"])
@pytest.mark.parametrize("decimal", [".", ","])
def test_semicolons_and_tabs_with_either_decimal_mark(good: Good, mark: str, decimal: str) -> None:
    vessels = good(vessels=PLAIN).vessels
    assert [vessel.resin_l for vessel in vessels] == [102.5, 1234.5]
    assert good(vessels=parted(PLAIN, mark, decimal)).vessels == vessels


def test_an_analysis_with_decimal_commas_below_detection_too(good: Good) -> None:
    """A spreadsheet takes <0.05 for text and leaves its point when the numbers get commas."""
    table = WATER + "well,2027-06-22,iron,<0.02,mg/L,\nwell,2027-06-22,sodium,17.25,mg/L,\n"
    (plain,) = good(water_tests=table).samples
    german = table.replace(",", ";").replace("17.25", "17,25")
    assert good(water_tests=german).samples == (plain,)
    assert good(water_tests=german.replace("<0.02", "<0,02")).samples == (plain,)


def test_money_with_a_decimal_comma(good: Good) -> None:
    table = "date;season;item;amount\n12.9.2026;2026/27;line yarn;17,80\n"
    (bill,) = good(spending=table).spending
    assert (str(bill.amount), bill.date) == ("17.80", dt.date(2026, 9, 12))


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ('a,lead,"1,5",\n', "2: resin: '1,5' has a decimal comma"),
        ("a,lead,1,5,9 kgr/ft3\n", "2: resin: '1,5' has a decimal comma, which parts it"),
        ('a,lead,"1,500",\n', "2: resin: '1,500' has a thousands mark or a decimal comma"),
        ("a,lead,1 500,\n", "2: resin: '1 500' has a thousands mark"),
        ("a,lead,1'500,\n", '2: resin: "1\'500" has a thousands mark'),
        ("a;lead;1,500;\n", "2: resin: '1,500' has a thousands mark or a decimal comma"),
        ("a;lead;1 500,5;\n", "2: resin: '1 500,5' has a thousands mark"),
        ("a;lead;1.500,5;\n", "2: resin: '1.500,5' has a thousands mark"),
        ("a;lead;1,500.5;\n", "2: resin: '1,500.5' has a thousands mark"),
        ("a;lead;1.500.500;\n", "2: resin: '1.500.500' has a thousands mark"),
        ("a;lead;1.5;9,5 kgr/ft3\n", "2: rated: '9,5 kgr/ft3' has a decimal comma, '1.5' in"),
        ("a;lead;1,5,5;\n", "2: resin: '1,5,5' is not a number"),
    ],
)
def test_marks_that_are_told(told: Told, table: str, message: str) -> None:
    mark = ";" if ";" in table else ","
    (line,) = told(vessels="vessel,position,resin [L],rated\n".replace(",", mark) + table)
    assert line.startswith(f"vessels.csv:{message}")


def test_three_decimals_are_read_where_another_number_settles_the_mark(good: Good) -> None:
    table = "vessel;position;resin [L]\nA;lead;1,500\nB;lag;0,125\nC;spare;2,25\n"
    assert [vessel.resin_l for vessel in good(vessels=table).vessels] == [1.5, 0.125, 2.25]


@pytest.mark.parametrize(
    ("text", "time"),
    [
        ("18:45", dt.time(18, 45)),
        ("8:30", dt.time(8, 30)),
        ("18:45:00", dt.time(18, 45)),
        ("06:45:00 PM", dt.time(18, 45)),
        ("12:05 am", dt.time(0, 5)),
        ("12:05 p.m.", dt.time(12, 5)),
        ("06:45:00 nachm.", dt.time(18, 45)),
    ],
)
def test_times_of_day(good: Good, text: str, time: dt.time) -> None:
    (draw,) = good(draws=f"on,start\nmon,{text}\n").draws
    assert draw.start == time


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("25:00", "there is no time '25:00'"),
        ("13:00 PM", "there is no time '13:00 PM'"),
        ("18:45 Uhr", "'18:45 Uhr' is not a time"),
        ("1845", "'1845' is not a time"),
    ],
)
def test_what_is_no_time_of_day(told: Told, text: str, message: str) -> None:
    assert told(draws=f"on,start\nmon,{text}\n") == [f"draws.csv:2: start: {message}"]


def test_formulas_are_refused_wherever_a_spreadsheet_would_run_them(told: Told) -> None:
    table = (
        "item,quantity,unit\n=A1,2,m\n+SUM(A1),2,m\n-yarn,2,m\n@yarn,2,m\n"
        "yarn,=1+1,m\nyarn,3,m\n - yarn,4,m\n"
    )
    items = "item,driver,rate,unit\nyarn,sheet,63,m\n- yarn,sheet,63,m\n"
    lines = told(items=items, stock=table)
    assert [line.partition(": ")[0] for line in lines] == [f"stock.csv:{n}" for n in range(2, 7)]
    assert all("would be a formula in a spreadsheet" in line for line in lines)


def test_a_note_may_stand_beside_any_row(good: Good) -> None:
    table = "vessel,position,resin [L],note\nA,lead,102,weighed wet\n"
    club = good(vessels=table)
    (resin,) = [figure for figure in club.figures if figure.path == "vessels.csv:A:resin"]
    assert resin.note == "weighed wet"


def test_a_water_test_may_have_a_range_and_a_basis(good: Good, told: Told) -> None:
    head = "sample,date,analyte,value,value low,value high,unit,as,basis\n"
    row = "well,2027-06-22,calcium,98,90,105,mg/L,,assumed\n"
    (figure,) = [one for one in good(water_tests=head + row).figures if one.line == 2]
    expected = [98 / 40.078, 90 / 40.078, 105 / 40.078]  # atomic weight of calcium, IUPAC
    assert [figure.value, figure.low, figure.high] == pytest.approx(expected, rel=1e-6)
    assert figure.basis == "assumed"
    (line,) = told(water_tests=head + row.replace("90", "99"))
    assert line == "water-tests.csv:2: value low: low is above value"
