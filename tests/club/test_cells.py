"""What could be read in two ways, or swallows rows, is told; it is never read on in silence."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.club.test_readings import HEAD, Both, both, read_all
from waterkit.club.schema import Club
from waterkit.club.tables import read_table
from waterkit.errors import FieldError
from waterkit.purchasing.records import StockLot

__all__ = ["both"]
Told = Callable[..., list[str]]
Good = Callable[..., Club]
TESTS = "sample,date,analyte,value,unit,as,note\n"
ITEMS = "item,driver,rate,unit\nyarn,sheet,63,m\nrent,month of rent,1,month\n"


def well(note: str, *analytes: str) -> str:
    return "".join(f"well,2027-06-22,{name},1,mg/L,,{note}\n" for name in analytes)


# Quotes that take in rows.


@pytest.mark.parametrize(
    "swallowed",
    [
        'well,2027-06-22,sodium,17,mg/L,,"bottle\n' + well("", "Mg", "K") + well('field"', "Cl"),
        'well,2027-06-22,sodium,17,mg/L,,"bottle\n' + well('field"', "Cl"),
        'well,"2027-06-22,sodium,17,mg/L,,\nwell,2027-06-22",chloride,17,mg/L,,\n',
    ],
    ids=["many rows", "one row", "within rows"],
)
def test_a_quote_that_takes_in_rows_is_told(told: Told, swallowed: str) -> None:
    (line,) = told(water_tests=TESTS + well("", "Ca") + swallowed)
    assert line.startswith("water-tests.csv:3: a quote takes in lines 4 to ")


def test_a_quote_in_readings_that_takes_in_rows_is_told(both: Both) -> None:
    text = (
        "time,point,conductivity [uS/cm],note\n"
        "2027-10-02T09:00,tank,1.2,\n"
        '2027-10-02T10:00,tank,1.3,"a\n2027-10-02T11:00,tank,1.3,b\n2027-10-02T12:00,tank,9.3,c"\n'
    )
    assert both(text) == (
        None, ["readings.csv:3: a quote takes in lines 4 to 5, which look like rows"],
    )  # fmt: skip


def test_a_header_that_takes_in_a_row_is_told(told: Told) -> None:
    text = 'sample,date,"analyte,value\nwell,2027-06-22,"Ca,1,mg/L\n'
    assert told(water_tests=text)[0].startswith("water-tests.csv:1: ")


def test_a_note_of_several_lines_is_read(good: Good) -> None:
    note = '"first draw, cold,\nsecond, after lunch"'
    (sample,) = good(water_tests=TESTS + well("", "Ca") + well(note, "Mg")).samples
    assert set(sample.mmol_l) == {"Ca", "Mg"}
    items = 'category,item,driver,rate,unit\n"two\nlines",a,season,1,L\n'
    assert good(items=items).items[0].category == "two lines"


# A decimal comma that parts a cell, with empty cells behind it.


@pytest.mark.parametrize(
    "row", ["mist,mist,0,065,,,,", "mist,mist,,0,065,,,"], ids=["depth", "litres"]
)
def test_a_parted_number_before_empty_cells_is_told(told: Told, row: str) -> None:
    head = "step,kind,depth per pass [mm],litres per pass and sheet [L],passes,loss [%],people\n"
    lines = told(layers=f"{head}wash,wash,,12,1,,2\n{row}\n")
    assert len(lines) == 1
    assert "'0,065' has a decimal comma, which parts it" in lines[0]


def test_empty_cells_that_all_rows_have_are_no_fault(good: Good) -> None:
    head = "step,kind,depth per pass [mm],passes\n"
    steps = good(layers=f"{head}wash,wash,,1,\nflood,flood,3,2,\nmore,flood,2,4,\n").layers
    assert [(step.depth_per_pass_mm, step.passes) for step in steps] == [(None, 1), (3, 2), (2, 4)]


# Thousands or decimals?


@pytest.mark.parametrize("mark", [".", ","])
def test_numbers_that_may_all_be_thousands_are_told(told: Told, mark: str) -> None:
    stock = f"item;quantity;unit\nyarn;1{mark}250;m\nyarn;140;m\n"
    (line,) = told(items=ITEMS, stock=stock)
    kind = "point" if mark == "." else "comma"
    wrong = f"'1{mark}250' has a thousands mark or a decimal {kind}"
    assert line == f"stock.csv:2: quantity: {wrong}"


def test_one_number_settles_what_a_point_means(good: Good) -> None:
    stock = "item;quantity;unit\nyarn;1.250;m\nyarn;140.5;m\n"
    assert [lot.quantity for lot in good(items=ITEMS, stock=stock).stock] == [1.25, 140.5]


@pytest.mark.parametrize("price", ["1.120", "112.004", "5.350"])
def test_money_with_three_decimals_is_told(told: Told, price: str) -> None:
    wrong = f"{price!r} has a thousands mark or three decimals"
    offers = f"item,supplier,pack size,unit,price\nyarn,shop,200,m,{price}\n"
    more = "item,supplier,pack size,unit,price\nrent,shop,1,month,0.125\n"
    tables = {"items": ITEMS, "suppliers": "supplier\nshop\n"}
    assert told(**tables, offers=offers + more.partition("\n")[2]) == [
        f"offers.csv:2: price: {wrong}"
    ]


def test_money_in_club_toml_with_three_decimals_is_told(told: Told) -> None:
    wrong = "budget.last_year: 5.350 has a thousands mark or three decimals"
    assert told("[budget]\nlast_year = 5.350\n") == [f"club.toml:9: {wrong}"]


@pytest.mark.parametrize("odd", ["5.500", "5,5 x"])
def test_a_point_in_a_large_log_with_decimal_commas_is_told(both: Both, odd: str) -> None:
    head = "time;point;conductivity [uS/cm];temperature [degC]\n"
    rows = "".join(f"2027-10-02T10:{minute:02};tank;1,3;5\n" for minute in range(60))
    readings, told = both(f"{head}{rows}2027-10-02T11:30;tank;1,4;{odd}\n")
    assert readings is None
    assert told


# Rows of a large file that are odd, but sound.


def test_odd_but_sound_cells_are_read_in_both_ways(both: Both) -> None:
    text = HEAD + (
        "2027-10-02T18:45,tank,1.3,6,4560,,\n"
        "2027-10-02T18:45:05.7,tank,1.4,6,4560,,\n"
        "2027-10-02T18:46,tank,1.5,6\u00a0,4560,,\n"
        "2027-10-02T18:47,tank, 1.6 ,6,4560,,\n"
        "2027-10-02T18:48,tank,1.7,٦,4560,,\n"  # six in Arabic digits
    )
    readings = read_all(both, text)
    assert readings.conductivity_us_cm.tolist() == [1.3, 1.4, 1.5, 1.6, 1.7]
    assert readings.temperature_c.tolist() == [6, 6, 6, 6, 6]


def test_a_minute_has_sixty_seconds_in_both_ways(both: Both) -> None:
    sound = "2027-10-02T09:00:20,tank,1.3,6,4560,,\n"
    readings, told = both(f"{HEAD}{sound}2027-10-02T10:00:60,tank,1.3,6,,,\n{sound}")
    assert readings is None
    assert told == ["readings.csv:3: time: there is no time '2027-10-02T10:00:60'"]


# Brackets that turn a count into something else.


@pytest.mark.parametrize("unit", ["%", "ppm", "m"])
def test_a_plain_number_takes_no_unit(told: Told, unit: str) -> None:
    stock = f"item,quantity [{unit}],unit\nyarn,140,m\n"
    assert told(items=ITEMS, stock=stock) == [
        f"stock.csv:1: quantity [{unit}]: this column has plain numbers, no {unit}"
    ]


def test_cures_of_plain_numbers_name_no_unit() -> None:
    (row,) = read_table("stock.csv", "item,quantity,unit\na,1 kg,m\n", StockLot, None).problems  # type: ignore[arg-type]
    assert row.hint == "write the number alone"
    text = "item,quantity,unit\na,,m\n"
    (row,) = read_table("stock.csv", text, StockLot, None).problems  # type: ignore[arg-type]
    assert row.hint == "write a plain number"


# What stands in one file and not in the other.

VESSELS = "vessel,position,resin [L],rent,deposit\nA,lead,57,{rent},{deposit}\n"


@pytest.mark.parametrize(
    ("rent", "deposit", "message"),
    [
        ("rnt", "", "rent: 'rnt' is not in items.csv"),
        ("12.50", "", "rent: '12.50' is not in items.csv"),
        ("yarn", "", "rent: 'yarn' is counted by 'sheet' in items.csv"),
        ("rent", "some", "deposit: 'some' is not a plain amount of money"),
    ],
)
def test_rent_is_an_item_and_a_deposit_money(
    told: Told, rent: str, deposit: str, message: str
) -> None:
    table = VESSELS.format(rent=rent, deposit=deposit)
    assert told(items=ITEMS, vessels=table) == [f"vessels.csv:2: {message}"]


def test_a_vessel_that_is_changed_is_listed_or_told(told: Told) -> None:
    vessels = "vessel,position,resin [L]\nvessel 1,lead,57\nvessel 2,spare,57\n"
    head = "date,position,vessel out,vessel in\n"
    train = "[[train]]\nkind = 'di'\npositions = ['lead']\n"
    changes = f"{head}2027-11-01,lead,vessel 1,vesel 2\n2027-11-02,lag,vessel 9,vessel 1\n"
    assert told(train, vessels=vessels, changeouts=changes) == [
        "changeouts.csv:2: vessel in: 'vesel 2' is not in vessels.csv",
        "changeouts.csv:3: position: the train has no position lag",
        "changeouts.csv:3: vessel out: 'vessel 9' is not in vessels.csv",
    ]
    assert (
        told(train, vessels=vessels, changeouts=f"{head}2027-11-01,lead,vessel 1,vessel 2\n") == []
    )


def test_what_a_reading_names_is_listed_or_told(told: Told) -> None:
    head = "time,point,conductivity [uS/cm],meter,vessel\n"
    rows = (
        "2027-10-03T10:00,tank,1.3,pocket meter,A\n"
        "2027-10-03T11:00,tank,1.3,poket meter,A\n"
        "2027-10-03T12:00,tank,1.3,poket meter,vessel 77\n"
        "2127-10-03T12:00,tank,1.3,,\n"
    )
    vessels = VESSELS.format(rent="", deposit="")
    meter = "[[meter]]\nname = 'pocket meter'\n"
    assert told(meter, vessels=vessels, readings=head + rows) == [
        "readings.csv:3: meter: 'poket meter' is not in club.toml",
        "readings.csv:4: vessel: 'vessel 77' is not in vessels.csv",
        "readings.csv:5: time: 2127-10-03 is more than a year after the last draw",
    ]


def test_a_record_of_another_century_is_told(told: Told) -> None:
    bills = "date,season,item,amount\n2027-10-01,2027-28,yarn,9\n2207-10-01,2027-28,yarn,9\n"
    late = "2207-10-01 is more than a year after the last draw"
    assert told(spending=bills) == [f"spending.csv:3: date: {late}"]


def test_two_names_for_one_sample_are_told(told: Told) -> None:
    tests = "sample,source,date,analyte,value,unit\n"
    rows = "well 2027,well,2027-06-22,Ca,98,mg/L\nwell 2O27,well,2027-06-22,Mg,24,mg/L\n"
    assert told(water_tests=tests + rows) == [
        "water-tests.csv:3: sample: 'well 2027' is a sample of the same source and day"
    ]
    other = rows.replace("2O27,well", "2O27,town")
    assert told(water_tests=tests + other) == []


# Nothing that was typed is unreadable.


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    from waterkit.club.fields import Settings, read_text

    with pytest.raises(FieldError, match="no letter"):
        read_text("J\udcff", Settings())


def test_tables_in_tables_without_end_are_told(told: Told) -> None:
    assert len(told(f"slab{'.a' * 4000} = 1\n")) == 1
