"""CSV files: headings with units, cells, lines."""

import datetime as dt
from collections.abc import Callable
from decimal import Decimal

import pytest

from waterkit.club.schema import Club, Figure
from waterkit.treatment.ion_exchange import Endpoint

Told = Callable[..., list[str]]
Good = Callable[..., Club]


def figure(club: Club, path: str) -> Figure:
    """The one figure of that path."""
    (found,) = [figure for figure in club.figures if figure.path == path]
    return found


@pytest.mark.parametrize(
    ("rated", "eq_l"),
    [
        ("9 kgr/ft3", 0.41155),  # 1 kgr/ft3 = 0.045727 eq/L, from exact definitions
        ("0.41 eq/L", 0.41),
        ("20.6 g/L as CaCO3", 20.6 / 50.043),
    ],
)
def test_a_rating_in_equivalents_or_as_caco3(good: Good, rated: str, eq_l: float) -> None:
    table = f"vessel,position,resin [US gal],rated,rated to\nA,spare,15,{rated},silica 0.1 mg/L\n"
    (vessel,) = good(vessels=table).vessels
    assert vessel.rated_eq_l == pytest.approx(eq_l, rel=1e-4)
    assert vessel.resin_l == pytest.approx(15 * 3.785411784)  # NIST Handbook 44
    assert vessel.rated_to == Endpoint("silica", 0.1)


def test_a_rating_as_bare_mass_is_refused(told: Told) -> None:
    table = "vessel,position,resin [L],rated\nA,spare,57,20.6 g/L\n"
    (line,) = told(vessels=table)
    assert line.startswith("vessels.csv:2: rated: 'g/L' does not say what the mass is counted as")


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("vessel,position,resin\nA,lead,57\n", "1: resin: this column has no unit"),
        ("vessel,position,resin [mm]\nA,lead,57\n", "1: resin [mm]: 'mm' is not a unit of volume"),
        ("vessel,position\nA,lead\n", "1: resin [L]: this column is missing"),
        ("vessel,position,resin [L],colur\nA,lead,57,\n", "1: colur: this column is not known"),
        ("vessel,position,resin [L]\nA,laed,57\n", "2: position: 'laed' is not one of the known"),
        ("vessel,position,resin [L]\nA,lead,57 L\n", "2: resin: '57 L' is more than a number"),
        ("vessel,position,resin [L]\nA,lead,57,x\n", "2: 'x' stands under no heading"),
        ("vessel,position,resin [L]\nA,lead,57,8\n", "2: resin: '57,8' has a decimal comma, which"),
        ("vessel,position,resin [L]\nA,lead,\n", "2: resin: is missing"),
        ("vessel,position,resin [L],resin low\nA,lead,57,60\n", "1: resin low: this column has no"),
        ('vessel,position,resin [L]\n"A,lead,57\n', "2: a quote is left open"),
        ("", " the file is empty"),
    ],
)
def test_what_is_told_of_a_table(told: Told, table: str, message: str) -> None:
    (line,) = told(vessels=table)
    assert line.startswith(f"vessels.csv:{message}")


def test_columns_are_converted_with_range_and_basis(good: Good) -> None:
    table = (
        "basis,Vessel,position,resin [ft3],resin low [ft3],resin high [ft3]\n"
        "measured,A,spare,2,1.9,2.1\n,B,spare,1,,\n"
    )
    club = good(vessels=table)
    assert [vessel.resin_l for vessel in club.vessels] == pytest.approx([56.633693, 28.316847])
    found = figure(club, "vessels.csv:A:resin")
    assert [found.low, found.high] == pytest.approx([53.802, 59.465], abs=1e-3)
    assert (found.basis, found.line) == ("measured", 2)
    assert figure(club, "vessels.csv:B:resin").basis == "quoted"
    assert figure(club, "vessels.csv:B:cation share").line is None


def test_lines_are_physical_lines(told: Told) -> None:
    table = 'item,driver,rate,unit,category\n"a\nb",season,1,L,\n\nc,seasn,1,L,\n'
    (line,) = told(items=table)
    assert line.startswith("items.csv:5: driver: 'seasn' is not one of the known words")


def test_money_is_exact_and_offers_keep_their_unit(good: Good) -> None:
    club = good(
        "[budget]\nlast_year = 3650.10\n",
        items="item,driver,rate,unit\nyarn,sheet,63,m\n",
        suppliers="supplier\nshop\n",
        offers="item,supplier,pack size,unit,price\nyarn,shop,200,ft,8.90\n",
    )
    assert club.budget.last_year == Decimal("3650.10")
    assert (club.offers[0].price, club.offers[0].unit) == (Decimal("8.90"), "ft")


def test_days_of_draws(good: Good) -> None:
    table = "on,start\nWed,18:45\nsunday,\n5.11.2027,\n"
    draws = good(draws=table).draws
    assert [draw.on for draw in draws] == [2, 6, dt.date(2027, 11, 5)]
    assert draws[0].start == dt.time(18, 45)
