"""A folder to start from: common figures, each labelled as assumed, and no invented history."""

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

from waterkit.club.checks import season_faults
from waterkit.club.csv_files import table_csv
from waterkit.club.fields import Settings, read_text
from waterkit.club.key_comments import COMMENTS
from waterkit.club.pen import Pen
from waterkit.club.schema import Club
from waterkit.club.water_tests import TESTS_FILE
from waterkit.club.writing import club_files, write_files
from waterkit.dates import FIRST_DAY, LAST_DAY, ONE_DAY, SATURDAY
from waterkit.errors import FieldError
from waterkit.ice.sheet import Rink, check_rink
from waterkit.season.build import SeasonDates
from waterkit.treatment.ion_exchange import REGENERATED_EQ_L, Vessel
from waterkit.treatment.train import Deioniser, Tank
from waterkit.units import split_number
from waterkit.water.meter import Meter
from waterkit.water.sample import WaterTest, gather, measure

OCTOBER, MARCH = 10, 3
README = "README.md"
RESIN_L = 100.0
"""Mixed resin of a vessel that a person with a barrow can move: common practice, no source."""
NAME = "our club"
_AS = " as "
_EXAMPLES = 'write it as "360 mg/L as CaCO3", "20 degdH", "21 gr/US gal as CaCO3" or "3.6 mmol/L"'


def read_hardness(text: str, day: dt.date) -> WaterTest:
    """A hardness as people say it, ``360 mg/L as CaCO3`` or ``20 degdH``, as a test of a day.

    Raises
    ------
    FieldError
        If it cannot be read; the hint shows how to write it.
    """
    plain = " ".join(text.split())
    quantity, _, basis = plain.partition(_AS)
    number, unit = split_number(quantity)
    row = WaterTest("first test", day, "hardness", number, unit=unit, as_=basis)
    try:
        measure(row)
    except FieldError as error:
        raise FieldError(error.message, _EXAMPLES, "hardness") from error
    return row


def season_after(day: dt.date) -> SeasonDates:
    """The coming season: from the first Saturday of the next October to the end of March."""
    opening = _first_saturday(day.year)
    later = _first_saturday(min(day.year + 1, dt.MAXYEAR))
    return season_from(opening if opening > day else later)


def season_from(first_draw: dt.date, last_draw: dt.date | None = None) -> SeasonDates:
    """A season from its first draw on, to the end of the next March where nothing else is said."""
    march = dt.date(first_draw.year, MARCH, 31)
    if march < first_draw:
        march = march.replace(year=min(march.year + 1, dt.MAXYEAR))
    return SeasonDates(first_draw, last_draw or march)


def _first_saturday(year: int) -> dt.date:
    first = dt.date(year, OCTOBER, 1)
    return first + (SATURDAY - first.weekday()) % 7 * ONE_DAY


def starting_club(sheets: int, hardness: WaterTest, season: SeasonDates, name: str = NAME) -> Club:
    """A club of which nothing is known but its sheets, its hardness and its season."""
    rink = Rink(sheets)
    check_rink(rink)
    for fault in season_faults(season):
        raise fault
    if not FIRST_DAY <= hardness.date <= LAST_DAY:
        hint = f"write a year from {FIRST_DAY.year} to {LAST_DAY.year}"
        raise FieldError(f"no water was tested on {hardness.date}", hint, "dated")
    sample = gather(
        hardness.sample, hardness.source, hardness.date, hardness.point, [measure(hardness)]
    )
    return Club(
        name=_plain(name) or NAME,
        season=season,
        rink=rink,
        samples=(sample,),
        folder=Path(),
        display="us" if "US gal" in hardness.unit else "metric",
        train=(Deioniser("di"), Tank("tank")),
        meters=(Meter("meter"),),
        vessels=(Vessel("vessel 1", "single", RESIN_L, rated_eq_l=REGENERATED_EQ_L),),
    )


def _plain(name: str) -> str:
    try:
        return read_text(name, Settings())
    except FieldError as error:
        raise FieldError(error.message, error.hint, "name") from error


def starting_files(
    sheets: int, hardness: WaterTest, season: SeasonDates, name: str = NAME
) -> Mapping[str, str]:
    """The files of such a club by name; the test stands there as it was told."""
    club = starting_club(sheets, hardness, season, name)
    files = club_files(club, COMMENTS, "assumed")
    files[TESTS_FILE] = table_csv(TESTS_FILE, WaterTest, [hardness], Pen())
    return {README: _README.format(name=club.name), **files}


def write_start(
    folder: Path, sheets: int, hardness: WaterTest, season: SeasonDates, name: str = NAME
) -> tuple[Path, ...]:
    """Write a folder to start from; what is there already is never overwritten.

    A README.md that is there already stays, and none is written.

    Raises
    ------
    FieldError
        If there is no sheet, the name is no text, or the dates are those of no season.
    MachineError
        If one of the files is there already, or the folder cannot be written.
    """
    return write_files(folder, starting_files(sheets, hardness, season, name), (README,))


_README = """\
# {name}

This folder tells waterkit about the club. All files are plain text: open `club.toml` in an editor,
the tables (`.csv`) in an editor or a spreadsheet, and save them as the kind of file that they are.

So far only the number of sheets, the dates of the season and the hardness of the water are yours.
All other figures are common ones, marked `assumed`; `club.toml` says above each what it is and how
to find it out.

What to do next:

1. `waterkit check . --advice` names the five figures that would change the answer most, and how to
   find each out.
2. `water-tests.csv`: add a row for each analyte of a full water test (calcium, magnesium, sodium,
   alkalinity, chloride, sulfate, nitrate, silica, pH, conductivity).
3. `vessels.csv`: one row for each resin vessel, with what its supplier says of it.
4. Tables that are not here yet, and what stands in for them until they are: `layers.csv` (a layer
   plan of common practice), `draws.csv` (two draws on weekdays, three on each day of the weekend),
   `items.csv`, `suppliers.csv`, `offers.csv` and `stock.csv` (nothing to buy), `changeouts.csv` and
   `readings.csv` (nothing learned yet).

waterkit plans; local codes, the product's data sheet and licensed trades decide.
"""
