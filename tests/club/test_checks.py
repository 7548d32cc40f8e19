"""What must hold between the rows and files of a folder."""

from collections.abc import Callable

import pytest

Told = Callable[..., list[str]]
WATER = "sample,date,analyte,value,unit,as\nwell,2027-06-22,calcium,98,mg/L,\n"


@pytest.mark.parametrize(
    ("tables", "message"),
    [
        (
            {"layers": "step,kind,needs\na,flood,b\nb,flood,a\n"},
            "layers.csv:2: needs: the steps wait for each other: a, b",
        ),
        ({"layers": "step,kind,needs\na,flood,c\n"}, "layers.csv:2: needs: there is no step 'c'"),
        (
            {"layers": "step,kind\na,flood\na,mist\n"},
            "layers.csv:3: step: 'a' stands in line 2 already",
        ),
        (
            {
                "layers": "step,kind,depth per pass [mm],litres per pass and sheet [L]\n"
                "a,flood,1,200\n"
            },
            "layers.csv:2: depth per pass: depth per pass and litres per pass and sheet are both",
        ),
        (
            {"draws": "on,sheets,kind\nmon,3,league\n"},
            "draws.csv:2: sheets: 3 sheets, the rink has 2",
        ),
        (
            {"vessels": "vessel,position,resin [L]\nA,lead,57\nB,lead,57\n"},
            "vessels.csv:3: position: 'A' stands in lead already",
        ),
        (
            {
                "vessels": "vessel,position,resin [L],rated,anion total [eq/L]\n"
                "A,lead,57,9 kgr/ft3,1\n"
            },
            "vessels.csv:2: rated: ",
        ),
        (
            {
                "items": "item,driver,rate,unit\nyarn,sheet,63,m\n",
                "stock": "item,quantity,unit\nyarn,2,kg\n",
            },
            "stock.csv:2: unit: 'kg' cannot be counted as 'm', the unit in items.csv",
        ),
        (
            {
                "items": "item,driver,rate,unit\nyarn,sheet,63,m\n",
                "offers": "item,supplier,pack size,unit,price\nyarn,shop,200,ft,8.90\n",
            },
            "offers.csv:2: supplier: 'shop' is not in suppliers.csv",
        ),
        (
            {"suppliers": "supplier,currency\nshop,CAD\n"},
            "suppliers.csv:2: currency: CAD is not the club's currency, EUR",
        ),
        (
            {"suppliers": "supplier,delivery charge\nshop,$9.50\n"},
            "suppliers.csv:2: delivery charge: '$9.50' is not a plain amount of money",
        ),
        (
            {"water_tests": WATER + "well,2027-06-22,Ca,98,mg/L,\n"},
            "water-tests.csv:3: analyte: 'Ca' stands in line 2 already",
        ),
        (
            {"water_tests": "sample,date,point,analyte,value,unit\nt,2027-06-22,tank,Ca,1,mg/L\n"},
            "water-tests.csv: point: no row is a test of the feed",
        ),
        (
            {"water_tests": WATER + "well,2027-06-23,magnesium,9,mg/L,\n"},
            "water-tests.csv:3: date: sample 'well' had '2027-06-22' further up",
        ),
    ],
)
def test_what_must_hold_between_rows_and_files(
    told: Told, tables: dict[str, str], message: str
) -> None:
    (line,) = told(**tables)
    assert line.startswith(message)


def test_the_train_and_its_vessels_fit(told: Told) -> None:
    text = "[[train]]\nkind = 'di'\npositions = ['lead', 'lag']\n"
    table = "vessel,position,resin [L]\nA,lead,57\nB,single,57\n"
    assert told(text, vessels=table) == [
        "club.toml:10: train.1.positions: no vessel stands in lag",
        "vessels.csv:3: position: the train has no position single",
    ]
