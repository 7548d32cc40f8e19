"""readings.csv by the csv module and by pandas: the same values, the same problems."""

import dataclasses
import datetime as dt
from collections.abc import Callable
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from waterkit.club import readings as module
from waterkit.club.readings import MOST_ODD, MOST_TOLD, limited, read_readings
from waterkit.errors import Problem
from waterkit.units import convert
from waterkit.water.readings import Readings

BERLIN = "Europe/Berlin"
HEAD = "time,point,conductivity [uS/cm],temperature [degC],treated total [L],use,by\n"
Told = tuple[Readings | None, list[str]]
Both = Callable[..., Told]


@pytest.fixture
def both(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Both:
    """Read a text by both ways, see that they agree, and hand out what they found."""

    def read(text: str | bytes, timezone: str = BERLIN, dates: str = "") -> Told:
        path = tmp_path / "readings.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        found = []
        for size in (10**9, 0):
            monkeypatch.setattr(module, "LARGE_BYTES", size)
            found.append(read_readings(path, timezone, dates))
        (small, told), (large, told_too) = found
        assert told == told_too
        assert all(problem.hint for problem in told)
        assert (small is None) == (large is None)
        if small is not None and large is not None:
            for item in dataclasses.fields(small):
                one, other = getattr(small, item.name), getattr(large, item.name)
                assert one.dtype == other.dtype, item.name
                np.testing.assert_array_equal(one, other, item.name)
        return small, [str(problem) for problem in told]

    return read


def read_all(both: Both, text: str, timezone: str = BERLIN, dates: str = "") -> Readings:
    readings, told = both(text, timezone, dates)
    assert told == []
    assert readings is not None
    return readings


def test_a_folder_without_readings_has_none(tmp_path: Path) -> None:
    assert read_readings(tmp_path) == (None, ())


def test_small_files_load_no_pandas(tmp_path: Path, fresh_python: Callable[..., object]) -> None:
    path = tmp_path / "readings.csv"
    path.write_text(HEAD + "2027-10-02T18:45,tank,1.3,6,,,\n")
    done = fresh_python(
        "import sys; from pathlib import Path; from waterkit.club.readings import read_readings\n"
        "readings, told = read_readings(Path(sys.argv[1]))\n"
        "print(len(readings), told, 'pandas' in sys.modules)",
        str(path),
    )
    assert getattr(done, "stdout", "") == "1 () False\n", done


def test_values_times_and_words(both: Both) -> None:
    text = HEAD + (
        "2027-10-02T18:45,tank,1.3,6,4560,flood,Kim\n"
        "2027-12-01 07:30:20,DI outlet,0.80,9.5,,,\n"
        "2027-12-01T07:30Z,feed,850,11,,,Jo\n"
        "2027-12-01T07:30:00-05:00,feed,851,11,,,Jo\n"
        "1.12.2027 7:05,hose end,1.9,4,5000,,\n"
    )
    readings = read_all(both, text)
    local = ZoneInfo(BERLIN)
    expected = [
        dt.datetime(2027, 10, 2, 18, 45, tzinfo=local),
        dt.datetime(2027, 12, 1, 7, 30, 20, tzinfo=local),
        dt.datetime(2027, 12, 1, 7, 30, tzinfo=dt.UTC),
        dt.datetime(2027, 12, 1, 12, 30, tzinfo=dt.UTC),
        dt.datetime(2027, 12, 1, 7, 5, tzinfo=local),
    ]
    told = [moment.replace(tzinfo=dt.UTC) for moment in readings.time.astype(object)]
    assert told == expected
    assert readings.point.tolist() == ["tank", "DI outlet", "feed", "feed", "hose end"]
    assert readings.conductivity_us_cm.tolist() == [1.3, 0.8, 850, 851, 1.9]
    assert np.isnan(readings.treated_total_l).tolist() == [False, True, True, True, False]
    assert (readings.use[0], readings.use[1], readings.by[1]) == ("flood", "", "")


def test_units_come_from_the_headings(both: Both) -> None:
    text = (
        "point,time,conductivity [mS/m],temperature [degF],treated total [m3],reference [degC]\n"
        "tank,2027-10-02T18:45,0.13,43,4.56,25\n"
    )
    readings = read_all(both, text)
    assert readings.conductivity_us_cm[0] == pytest.approx(1.3)  # 1 mS/m = 10 uS/cm (SI)
    assert readings.temperature_c[0] == pytest.approx((43 - 32) / 1.8)
    assert readings.treated_total_l[0] == pytest.approx(4560)
    assert readings.reference_c[0] == 25


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_other_dialects_with_decimal_commas(both: Both, delimiter: str) -> None:
    rows = [
        ("time", "point", "conductivity [uS/cm]", "temperature [degC]", "note", ""),
        ("2.10.2027 18:45", "tank", "1,3", "6", "", ""),
        ("3.10.2027 18:45", "tank", "0,85", "6,5", "warm, clear", ""),
    ]
    text = "\ufeff" + "".join(delimiter.join(row) + "\r\n" for row in rows)
    readings = read_all(both, text)
    assert readings.conductivity_us_cm.tolist() == [1.3, 0.85]
    assert readings.note.tolist() == ["", "warm, clear"]


def test_slashed_days_by_the_order_of_the_club(both: Both) -> None:
    text = HEAD + "11/10/2027 18:45,tank,1.3,6,,,\n"
    assert read_all(both, text, "UTC", "mdy").time[0] == np.datetime64("2027-11-10T18:45")
    assert read_all(both, text, "UTC", "dmy").time[0] == np.datetime64("2027-10-11T18:45")
    _, (told,) = both(text)
    assert told.startswith("readings.csv:2: time: '11/10/2027' can be read in two ways")


def test_notes_with_quotes_commas_and_line_ends(both: Both) -> None:
    text = (
        "time,point,conductivity [uS/cm],note\n"
        '2027-10-02T18:45,tank,1.3,"clear, cold"\n'
        '2027-10-02T18:46,tank,1.4,"two\nlines"\n'
        "\n"
        "2027-10-02T18:47,tank,1.5,\n"
    )
    readings = read_all(both, text)
    assert readings.note.tolist() == ["clear, cold", "two lines", ""]
    _, (told,) = both(text + "2027-10-02T18:48,tnk,1.5,\n")
    assert told.startswith("readings.csv:7: point: 'tnk' is not one of the known words")


# Europe/Berlin 2027 by EU Directive 2000/84/EC: forward on the last Sunday of March (28th) at
# 01:00 UTC, back on the last Sunday of October (31st) at 01:00 UTC.
@pytest.mark.parametrize(
    ("time", "told"),
    [
        ("2027-10-31T02:30", "time: the clock shows 2027-10-31T02:30 twice that day"),
        ("2027-03-28T02:30", "time: the clock skips 2027-03-28T02:30 that day"),
        ("2027-02-30T10:00", "time: there is no date 2027-02-30"),
        ("2027-02-20T24:30", "time: there is no time '2027-02-20T24:30'"),
        ("2027-02-20", "time: '2027-02-20' is not a date with a time"),
        ("now", "time: 'now' is not a date with a time"),
        ("", "time: is missing"),
    ],
)
def test_times_that_say_nothing(both: Both, time: str, told: str) -> None:
    readings, lines = both(HEAD + f"{time},tank,1.3,6,,,\n")
    assert readings is None
    assert lines == [f"readings.csv:2: {told}"]


@pytest.mark.parametrize(
    ("time", "utc"),
    [
        ("2027-10-31T02:30+02:00", "2027-10-31T00:30"),
        ("2027-10-31T02:30+01:00", "2027-10-31T01:30"),
        ("2027-10-31T01:59", "2027-10-30T23:59"),
        ("2027-10-31T03:00", "2027-10-31T02:00"),
        ("2027-03-28T01:59", "2027-03-28T00:59"),
        ("2027-03-28T03:00", "2027-03-28T01:00"),
    ],
)
def test_days_on_which_the_clock_is_changed(both: Both, time: str, utc: str) -> None:
    readings = read_all(both, HEAD + f"{time},tank,1.3,6,,,\n")
    assert readings.time[0] == np.datetime64(utc)


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        ("tnk,1.3,6,,,", "point: 'tnk' is not one of the known words"),
        ("tank,1.3,6,,flod,", "use: 'flod' is not one of the known words"),
        ("tank,nan,6,,,", "conductivity: 'nan' is not a number"),
        ("tank,inf,6,,,", "conductivity: 'inf' is not a number"),
        ("tank,1e999,6,,,", "conductivity: '1e999' is too large a number"),
        ("tank,,6,,,", "conductivity: is missing"),
        ("tank,true,6,,,", "conductivity: 'true' is not a number"),
        ('tank,"1,3",6,,,', "conductivity: '1,3' has a decimal comma"),
        ("tank,-1,6,,,", "conductivity: -1 uS/cm is not a plausible conductivity"),
        ("tank,1.3,600,,,", "temperature: 600 degC is not a plausible temperature"),
        ("tank,1.3 uS/cm,6,,,", "conductivity: '1.3 uS/cm' is more than a number"),
        ("tank,1.3,6,,,=SUM(A1)", "by: '=SUM(A1)' would be a formula in a spreadsheet"),
        ("tank,1.3,6,,,Kim,x", "'x' stands under no heading"),
        (
            "tank,1,3,6,,,Kim",
            "conductivity: '1,3' has a decimal comma, which parts it into two cells",
        ),
    ],
)
def test_cells_that_cannot_be_used(both: Both, cells: str, told: str) -> None:
    good = "2027-10-02T18:44,feed,850,11,,,\n"
    readings, lines = both(f"{HEAD}{good}2027-10-02T18:45,{cells}\n{good}")
    assert readings is None
    assert len(lines) == 1
    assert lines[0].startswith(f"readings.csv:3: {told}")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "readings.csv: the file is empty"),
        (b"\xff\xfet\0", "readings.csv: the text is UTF-16, not UTF-8"),
        (HEAD.encode() + b"2027-10-02T18:45,tank,1.3,6,,,K\xfcr\n", "readings.csv:2: the text is"),
        (HEAD + '2027-10-02T18:45,tank,1.3,6,,,"Kim\n', "readings.csv:2: a quote is left open"),
        (HEAD + f"2027-10-02T18:45,tank,1.3,6,,,{'x' * 20_001}\n", "readings.csv:2: the line has"),
        ("time,point\n2027-10-02T18:45,tank\n", "readings.csv:1: conductivity [uS/cm]: this colu"),
        (HEAD.replace(" [uS/cm]", ""), "readings.csv:1: conductivity: this column has no unit"),
        (HEAD.replace("[uS/cm]", "[mm]"), "readings.csv:1: conductivity [mm]: 'mm' is not a unit"),
    ],
)
def test_files_that_cannot_be_read(both: Both, text: str | bytes, told: str) -> None:
    readings, lines = both(text)
    assert readings is None
    assert lines[0].startswith(told)


def test_a_total_that_falls_is_told_in_the_order_of_time(both: Both) -> None:
    text = HEAD + (
        "2027-10-02T18:45,tank,1.3,6,4560,,\n"
        "2027-10-04T18:45,tank,1.3,6,4400,,\n"
        "2027-10-03T18:45,tank,1.3,6,4700,,\n"
        "2027-10-05T18:45,tank,1.3,6,,,\n"
    )
    readings, told = both(text)
    assert readings is None
    assert told == ["readings.csv:3: treated total: 4400 L is less than 4700 L in line 4"]


def test_many_problems_of_a_kind_are_counted(both: Both) -> None:
    rows = "".join(f"2027-10-02T18:45,tank,x{number},6,,,\n" for number in range(MOST_TOLD + 7))
    readings, told = both(HEAD + rows + "2027-10-02T18:45,tank,1.3,600,,,\n")
    assert readings is None
    assert len(told) == MOST_TOLD + 2
    assert told[MOST_TOLD] == f"readings.csv:{MOST_TOLD + 2}: conductivity: and 7 more like it"
    assert told[-1].startswith(f"readings.csv:{MOST_TOLD + 9}: temperature: 600 degC")


def test_problems_of_different_kinds_are_not_counted_together() -> None:
    many = [Problem("a.csv", f"'{number}' is odd", "mend it", number) for number in range(60)]
    other = Problem("a.csv", "is missing", "write it", 3)
    told = limited([*many, other])
    assert other in told
    assert len(told) == MOST_TOLD + 2


def test_of_endless_faults_only_the_first_are_looked_at(both: Both) -> None:
    rows = "2027-10-02T18:45,tank,1.3,6,,flod,\n" * (MOST_ODD + 5)
    _, told = both(HEAD + rows)
    assert told[-1] == f"readings.csv:{MOST_ODD + 2}: 5 more rows from here on were not looked at"


EARLY = np.datetime64("2020-01-01T00:00")
NUMBERS = st.decimals(0, 5000, allow_nan=False, places=3).map(str)
ROWS = st.lists(
    st.tuples(
        st.integers(0, 10 * 365 * 24 * 60).map(
            lambda minute: f"{EARLY + minute}".replace("T", " ")
        ),
        st.sampled_from(["tank", "feed", "hose end", "tnk", ""]),
        st.one_of(NUMBERS, st.sampled_from(["", "nan", "1,5", "x", " 2 ", "1e3", "+.5"])),
        st.one_of(st.integers(-60, 110).map(str), st.just("")),
        st.just(""),
        st.sampled_from(["flood", "", "pebble"]),
        st.sampled_from(["Kim", "", "Jo  An", "N,N"]),
    ),
    max_size=12,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(rows=ROWS)
def test_both_ways_agree_on_anything(both: Both, rows: list[tuple[str, ...]]) -> None:
    lines = (",".join(f'"{cell}"' if "," in cell else cell for cell in row) for row in rows)
    both(HEAD + "".join(f"{line}\n" for line in lines))


def test_the_conversion_is_that_of_the_units() -> None:
    assert convert(0.13, "mS/m", "uS/cm") == pytest.approx(1.3)
