"""Files of any style are continued in it."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.club.logs import HEAD, ROW, bare_club, log_of, told_by
from waterkit.club.log import append_row
from waterkit.errors import InputError


@pytest.fixture
def club(tmp_path: Path) -> Path:
    """A folder with the least that a log needs."""
    return bare_club(tmp_path)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("time,point,conductivity [uS/cm]\n", "2027-10-02T18:45,tank,1.3\n"),
        ("conductivity [mS/m],time,point\n", "0.13,2027-10-02T18:45,tank\n"),
        ("time;point;conductivity [uS/cm]\n", "2027-10-02T18:45;tank;1,3\n"),
        ("time\tpoint\tconductivity [uS/cm]\n", "2027-10-02T18:45\ttank\t1.3\n"),
        ("time;point;conductivity [uS/cm]\n1.10.2027 7:00;feed;8.5\n",
         "02.10.2027 18:45;tank;1.3\n"),
        ("time\tpoint\tconductivity [uS/cm]\n1.10.2027 7:00\tfeed\t8,5\n",
         "02.10.2027 18:45\ttank\t1,3\n"),
        ("time,point,conductivity [uS/cm]\n2027-10-01 07:00,feed,8\n",
         "2027-10-02 18:45,tank,1.3\n"),
        ("time,point,conductivity [uS/cm],,\r\n2027-10-01T07:00,feed,8,,\r\n",
         "2027-10-02T18:45,tank,1.3,,\r\n"),
        ("\ufefftime,point,conductivity [uS/cm]\n2027-10-01T07:00,feed,8",
         "\n2027-10-02T18:45,tank,1.3\n"),
        ('time,point,conductivity [uS/cm],note\n2027-10-01T07:00,feed,8,"col',
         '"\n2027-10-02T18:45,tank,1.3,\n'),
        ("\n", f"{HEAD}2027-10-02T18:45,tank,1.3,,,,,,,,,\n"),
    ],
)  # fmt: skip
def test_a_file_is_continued_in_its_own_style(club: Path, before: str, after: str) -> None:
    path = club / "readings.csv"
    path.write_bytes(before.encode())
    place = append_row(club, "reading", ROW)
    assert path.read_bytes() == (before + after).encode()
    assert place.line == (before + after).count("\n")
    assert log_of(club).conductivity_us_cm[-1] == 1.3


def test_half_a_letter_left_by_a_crash_is_taken_away(club: Path) -> None:
    path = club / "readings.csv"
    whole = f"{HEAD}2027-10-01T07:00,feed,8,,,,,,,,J"
    path.write_bytes(whole.encode() + "ü".encode()[:1])
    append_row(club, "reading", ROW)
    assert path.read_text("utf-8") == f"{whole}\n2027-10-02T18:45,tank,1.3,,,,,,,,,\n"


def test_slashed_days_are_continued_where_the_club_says_how(club: Path) -> None:
    (club / "club.toml").write_text('[files]\ndates = "mdy"\n')
    (club / "readings.csv").write_text("time,point,conductivity [uS/cm]\n10/1/2027 7:00,tank,8\n")
    append_row(club, "reading", ROW)
    assert (club / "readings.csv").read_text().endswith("\n10/02/2027 18:45,tank,1.3\n")


def test_an_hour_that_the_clock_shows_twice_keeps_its_offset(club: Path) -> None:
    append_row(club, "reading", ROW | {"time": "2027-10-31T00:30Z"})
    append_row(club, "reading", ROW | {"time": "2027-10-31T01:30Z"})
    lines = (club / "readings.csv").read_text().splitlines()[1:]
    assert [line.partition(",")[0] for line in lines] == [
        "2027-10-31T02:30+02:00",
        "2027-10-31T02:30+01:00",
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "time,point,conductivity [uS/cm]\n",
            "readings.csv:1: by: there is no column for it",
        ),
        (
            "time,point,conductivity,by\n",
            "readings.csv:1: conductivity: this column has no unit",
        ),
        (HEAD + '2027-10-01T07:00,feed,8,,,,,,,,"Jo,\n', "readings.csv:2: a quote is left open"),
        ("\0\n", "readings.csv: this is a binary file, not text"),
    ],
)
def test_a_file_that_cannot_be_continued_stays(club: Path, text: str, told: str) -> None:
    (club / "readings.csv").write_text(text)
    with pytest.raises(InputError) as error:
        append_row(club, "reading", ROW | {"by": "Kim"})
    assert told_by(error) == [told]
    assert (club / "readings.csv").read_text() == text


def test_a_long_file_is_continued_after_any_cell(club: Path) -> None:
    note = '"' + "long\n" * 2000 + '"'
    (club / "readings.csv").write_text(HEAD + f"2027-10-01T07:00,feed,8,,,,,,,,,{note}\n")
    assert append_row(club, "reading", ROW).line == 2003
    assert log_of(club).conductivity_us_cm.tolist() == [8, 1.3]


# Any style.

STYLES = st.fixed_dictionaries(
    {
        "delimiter": st.sampled_from([",", ";", "\t"]),
        "line_end": st.sampled_from(["\n", "\r\n"]),
        "bom": st.booleans(),
        "last_end": st.booleans(),
        "conductivity": st.sampled_from(["uS/cm", "mS/m", "mS/cm"]),
        "temperature": st.sampled_from(["degC", "degF", "K"]),
        "order": st.permutations(range(5)),
        "sample": st.sampled_from(["", "8", "8.5", "8,5"]),
        "day": st.sampled_from(["2027-10-01T07:00", "2027-10-01 07:00", "1.10.2027 7:00"]),
    }
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    style=STYLES,
    conductivity=st.decimals("0.01", 5000, places=3),
    temperature=st.decimals(0, 30, places=1),
    note=st.sampled_from(["", "clear", 'a "b"; c, d', "été"]),
)
def test_any_style_is_continued(
    club: Path, style: dict[str, object], conductivity: Decimal, temperature: Decimal, note: str
) -> None:
    delimiter, line_end = str(style["delimiter"]), str(style["line_end"])
    sample = str(style["sample"]).replace(",", "." if delimiter == "," else ",")
    heads = ["time", "point", f"conductivity [{style['conductivity']}]",
             f"temperature [{style['temperature']}]", "note"]  # fmt: skip
    first = [str(style["day"]), "feed", sample or "8", "", ""]
    order = style["order"]
    assert isinstance(order, list)
    rows = [[cells[place] for place in order] for cells in ([heads, first] if sample else [heads])]
    text = line_end.join(delimiter.join(row) for row in rows)
    text = ("\ufeff" if style["bom"] else "") + text + (line_end if style["last_end"] else "")
    path = club / "readings.csv"
    path.write_bytes(text.encode())
    values = ROW | {
        "conductivity": f"{conductivity} uS/cm", "temperature": f"{temperature} degC", "note": note,
    }  # fmt: skip
    assert not append_row(club, "reading", values).duplicate
    written = path.read_bytes()
    assert written.startswith(text.encode())
    line_end = line_end if line_end in text else "\n"
    assert written.endswith(line_end.encode())
    assert written.count(b"\r\n") == (written.count(b"\n") if line_end == "\r\n" else 0)
    readings = log_of(club)
    assert len(readings) == len(rows)
    assert readings.conductivity_us_cm[-1] == pytest.approx(float(conductivity), rel=1e-9)
    assert readings.temperature_c[-1] == pytest.approx(float(temperature), abs=1e-6)
    assert readings.note[-1] == note
    assert append_row(club, "reading", values).duplicate
