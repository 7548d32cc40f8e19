"""club.toml: what is read of it, with place and cure of what cannot be."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from waterkit.club import inspect_club
from waterkit.club.schema import Club, Figure
from waterkit.treatment.ion_exchange import Endpoint
from waterkit.treatment.reverse_osmosis import COMMON_REJECTION_PERCENT, ReverseOsmosis
from waterkit.treatment.softening import Softener
from waterkit.treatment.train import BoughtIn
from waterkit.water.limits import COMMON_LIMITS

Told = Callable[..., list[str]]
Good = Callable[..., Club]
Folder = Callable[..., Path]
WATER = "sample,date,analyte,value,unit,as\nwell,2027-06-22,calcium,98,mg/L,\n"
HEAD_LINES = 7
"""Lines of the least club.toml, before what a test adds."""


def figure(club: Club, path: str) -> Figure:
    """The one figure of that path."""
    (found,) = [figure for figure in club.figures if figure.path == path]
    return found


def test_a_given_figure_knows_its_line_range_and_basis(good: Good) -> None:
    text = '[slab]\ncover = { value = "1 in", low = "2 cm", high = "3 cm", basis = "measured" }\n'
    club = good(text)
    assert club.slab.cover_mm == pytest.approx(25.4)
    found = figure(club, "slab.cover")
    assert [found.low, found.high] == pytest.approx([20.0, 30.0])
    assert (found.basis, found.line) == ("measured", HEAD_LINES + 2)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("cover = '1,5 mm'", "slab.cover: '1,5' has a decimal comma"),
        ("cover = '1 500 mm'", "slab.cover: '1 500' has a thousands mark or a decimal comma"),
        ("cover = nan", "slab.cover: NaN is not a number"),
        ("cover = '9**9 mm'", "slab.cover: unknown unit '**9 mm'"),
        ("cover = '1e300 mm'", "slab.cover: 1e+300 mm is not a plausible depth"),
        ("cover = '25 L'", "slab.cover: 'L' is not a unit of depth"),
        ("cover = '-5 mm'", "slab.cover: -5 mm is not a plausible depth"),
        ("cover = []", "slab.cover: [] is not a number"),
        ("cover = { low = '1 mm' }", "slab.cover: the table has no value"),
        ("cover = { value = '25 mm', low = '26 mm' }", "slab.cover: low is above value"),
        ("cover = { value = '25 mm', basis = 'so' }", "slab.cover.basis: 'so' is no basis"),
    ],
)
def test_a_quantity_that_cannot_be_used(told: Told, text: str, message: str) -> None:
    assert told(f"[slab]\n{text}\n") == [f"club.toml:9: {message}"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[white]\nratio = '0.1 kg/L'", "does not say whether a litre of water or of mix"),
        ("[budget]\nlast_year = '4,200'", "has a thousands mark or a decimal comma"),
        ("[budget]\nlast_year = '4200 EUR'", "is not a plain amount of money"),
        ("[season.x]\ny = 1", "season.x: this key is not known"),
        ("[changeout]\nat = ['5']", "changeout.at.1: '5' has no unit"),
        ("[[train]]\nkind = 'bought in'", "train.1.sample: is missing"),
        ("[[train]]\nkind = 'bought in'\nsample = 'wel'", "there is no sample 'wel'"),
        ("[[train]]\nkind = 'softner'", "train.1.kind: 'softner' is no kind of process"),
        ("[[train]]\nkind = 'tanc'", "train.1.kind: 'tanc' is no kind of process"),
        ("[limits.flood]\ngood = '30 uS/cm'", "limits.flood.act: act, 20 uS/cm, is below good"),
        ("[source.temperature]\njan = '5 degC'", "source.temperature: feb is missing"),
        ("[chiller]\ncapacity = '90 kW'", "chiller: standing_load is missing"),
        ("[rink2]\nsheets = 1", "rink2: this key is not known"),
        ("[chiller]\nplant_on = 2027-11-01", "is after the first draw"),
        ("[[train]]\nkind = 3", "club.toml:9: train.1.kind: 3 is no kind of process"),
        ("[[train]]\nflow = '3 L/h'", "club.toml:8: train.1: the row has no kind"),
        ("[changeout]\nat = []", "changeout.at: no mark tells when a vessel is changed"),
        ("[people]\ncrew = 2.5", "people.crew: 2.5 is not a whole number"),
    ],
)
def test_what_else_is_told_of_club_toml(told: Told, text: str, message: str) -> None:
    (line,) = told(text)
    assert message in line


@pytest.mark.parametrize(
    ("key", "message"),
    [
        ("currency = 'euro'", "currency: 'euro' is no currency code"),
        ("timezone = 'Europe/Atlantis'", "timezone: 'Europe/Atlantis' is no time zone"),
        ("format = 2", "format: format 2 is not known"),
        ("display = 'imperial'", "display: 'imperial' is not one of the known words"),
    ],
)
def test_what_is_told_of_the_head_of_club_toml(folder: Folder, key: str, message: str) -> None:
    where = folder()
    keys = (where / "club.toml").read_text(encoding="utf-8")
    (where / "club.toml").write_text(f"{key}\n{keys}", encoding="utf-8")
    (problem,) = inspect_club(where)[1]
    assert str(problem) == f"club.toml:1: {message}"


def test_slashed_dates_need_a_word_about_their_order(
    told: Told, good: Good, folder: Folder
) -> None:
    slashed = WATER.replace("2027-06-22", "1/2/2027")
    (line,) = told(water_tests=slashed)
    assert line == "water-tests.csv:2: date: '1/2/2027' can be read in two ways"
    for order, day in (("dmy", dt.date(2027, 2, 1)), ("mdy", dt.date(2027, 1, 2))):
        club = good(f"[files]\ndates = '{order}'\n", water_tests=slashed)
        assert club.samples[0].date == day


def test_a_native_date_that_does_not_exist_is_named(told: Told) -> None:
    (line,) = told("[budget]\nholidays = [2028-02-30]\n")
    assert line == "club.toml:9: holidays: there is no date 2028-02-30"


def test_partly_given_limits_take_the_rest_from_common_practice(good: Good) -> None:
    club = good("[limits.pebble]\ngood = '3 uS/cm'\n")
    assert club.limits["pebble"].good_us_cm == 3.0
    assert club.limits["pebble"].act_us_cm == COMMON_LIMITS["pebble"].act_us_cm
    assert figure(club, "limits.pebble.good").basis == "quoted"
    assert figure(club, "limits.pebble.act").basis == "assumed"


def test_source_temperature_by_month(good: Good) -> None:
    months = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
    text = "[source.temperature]\n" + "".join(
        f"{month} = '{number} degC'\n" for number, month in enumerate(months, start=1)
    )
    club = good(text)
    assert club.source.temperature_on(dt.date(2027, 11, 5)) == 11.0
    assert club.source.temperature_c == pytest.approx(6.5)
    assert figure(club, "source.temperature.nov").line == HEAD_LINES + 12
    assert not [one for one in club.figures if one.path == "source.temperature"]


def test_changeout_marks(good: Good) -> None:
    text = "[changeout]\nat = ['5 uS/cm', '90 % of rated litres', 'silica 0.5 mg/L']\n"
    assert good(text).changeout.at == (
        Endpoint("conductivity", 5.0),
        Endpoint("litres", 90.0),
        Endpoint("silica", 0.5),
    )


def test_a_reverse_osmosis_names_its_ions_by_name_or_formula(good: Good) -> None:
    text = (
        "[[train]]\nkind = 'reverse osmosis'\noutput = '40 US gal/h'\nrecovery = '60 %'\n"
        "rejection = { calcium = '98 %', SiO2 = { value = '85 %', low = '80 %', high = '90 %' } }\n"
    )
    club = good(text)
    (unit,) = club.train
    assert isinstance(unit, ReverseOsmosis)
    assert unit.output_l_h == pytest.approx(151.416, abs=1e-3)  # NIST Handbook 44: 3.785412 L
    told = {"Ca": 98.0, "SiO2": 85.0}
    assert unit.rejection_percent == {**COMMON_REJECTION_PERCENT, **told}
    silica = figure(club, "train.1.rejection.SiO2")
    assert (silica.low, silica.high, silica.line) == (80.0, 90.0, HEAD_LINES + 5)
    common = figure(club, "train.1.rejection.Cl")
    assert (common.basis, common.line) == ("assumed", None)


def test_defaults_of_a_membrane_are_told_one_by_one(good: Good) -> None:
    club = good("[[train]]\nkind = 'reverse osmosis'\n")
    for key, share in COMMON_REJECTION_PERCENT.items():
        assert figure(club, f"train.1.rejection.{key}").value == share


def test_a_softener_and_bought_in_water(good: Good) -> None:
    text = (
        "[[train]]\nkind = 'softener'\nresin = '1 ft3'\ncapacity = '20 kgr/ft3'\n"
        "salt_per_regeneration = '6 lb'\n"
        "[[train]]\nkind = 'bought in'\nsample = 'well'\ndelivery = '5 m3'\n"
    )
    softener, bought = good(text).train
    assert isinstance(softener, Softener)
    assert softener.resin_l == pytest.approx(28.316847)
    # 1 kgr/ft3 is 0.045727 eq/L, from exact definitions and CaCO3 of 50.043 g/eq
    assert softener.capacity_eq_l == pytest.approx(20 * 0.045727, rel=1e-4)
    assert softener.salt_per_regeneration_kg == pytest.approx(6 * 0.45359237)
    assert bought == BoughtIn("bought in", "well", 5000.0)


@pytest.mark.parametrize(
    ("rejection", "message"),
    [
        ("{ calcum = '97 %' }", "unknown analyte 'calcum'"),
        ("{ Ca = '97 %', calcium = '98 %' }", "Ca stands twice"),
        ("{ Ca = '107 %' }", "107 % is not a plausible percent"),
        ("'97 %'", "is no table of shares"),
    ],
)
def test_what_is_told_of_a_rejection(told: Told, rejection: str, message: str) -> None:
    (line,) = told(f"[[train]]\nkind = 'reverse osmosis'\nrejection = {rejection}\n")
    assert line.startswith("club.toml:10: train.1.rejection")
    assert message in line
