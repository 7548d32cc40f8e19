"""The tank card at work: by touch on a phone, offline, with readings kept, and on paper."""

import json
import re
import unicodedata
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from tests.pages.phones import DO, Card, Open, card_text
from waterkit.cli import main
from waterkit.club import read_club
from waterkit.plan import SeasonPlan
from waterkit.water.meter import Meter

pytestmark = pytest.mark.browser

TARGET_PX, MOST_BYTES = 48, 150_000
AA = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
METERS = (Meter("pocket meter"), Meter("old pen", "none"),
          Meter("ppm pen", factor=0.5, resolution_us_cm=0.2))  # fmt: skip
POINT = 96 / 72


def test_a_volunteer_types_a_reading_and_reads_the_answer(open_card: Open) -> None:
    card = open_card()
    card.ask("flood", "1.3", "6", "480")
    assert card.word == "FILL"
    assert "Start the flood: the pocket meter shows 1.3\u00a0µS/cm at 6.0\u00a0°C" in card.result
    assert "Resin left" in card.result
    assert "as of Sun, Aug 15, 2027" in card.result
    box = card.page.locator("#result .verdict").bounding_box()
    assert box is not None
    assert 0 <= box["y"] < 100  # it has come into view
    card.ask("pebble", "6.2", "6")
    assert card.word == "HOLD"
    assert "Only the ice tech may release this hold" in card.result
    card.ask("fill", "640", "10")
    assert card.word == "DO NOT FILL"
    assert (card.said, len(card.requests)) == ([], 1)


BORDER = "e => getComputedStyle(e).borderTopStyle + getComputedStyle(e).borderTopWidth"


def test_no_two_answers_look_alike_without_colour(open_card: Open) -> None:
    card, borders = open_card(), set()
    for job, reading in (("flood", "1.3"), ("pebble", "6.2"), ("fill", "640")):
        card.ask(job, reading, "6")
        borders.add(card.page.locator(".verdict").evaluate(BORDER))
        size = card.page.locator(".verdict h2").evaluate("e => getComputedStyle(e).fontSize")
        assert float(size.removesuffix("px")) >= 40
    assert len(borders) == 3


def test_a_decimal_comma_is_read_and_written_where_the_club_writes_it(open_card: Open) -> None:
    card = open_card(locale="de_DE")
    card.ask("flood", "1,3", "6,5")
    assert "1,3\u00a0µS/cm at 6,5\u00a0°C" in card.result
    card.ask("flood", "1.3", "6.5")
    assert "1,3\u00a0µS/cm at 6,5\u00a0°C" in card.result
    card.ask("flood", "1.300", "6,5")
    assert card.told("reading") == "'1.300' may mean thousands: write a fraction like 1,3."


@pytest.mark.parametrize(
    ("reading", "temperature", "field", "words"),
    [
        ("", "6", "reading", "Write the number."),
        ("1.3 uS", "6", "reading", "'1.3 uS' is not a number"),
        ("1,300", "6", "reading", "'1,300' may mean thousands"),
        ("1.2.3", "6", "reading", "is not a number"),
        ("1.3", "640", "temperature", "−50 to 100 °C can be"),
        ("-1", "6", "reading", "0 to 200,000 µS/cm can be"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(
    reading: str, temperature: str, field: str, words: str, open_card: Open
) -> None:
    card = open_card()
    card.ask("flood", "1.3", "6")
    card.ask("flood", reading, temperature)
    assert words in card.told(field)
    assert card.page.locator("#result h2").count() == 0
    assert card.page.evaluate("document.activeElement.id") == field
    assert card.page.locator(f"#{field}").get_attribute("aria-invalid") == "true"
    card.ask("flood", "1.3", "6")
    assert card.told(field) == ""


def test_the_job_and_the_meter_are_asked_for(open_card: Open) -> None:
    card = open_card(meters=METERS)
    card.page.get_by_role("button", name=DO).tap()
    assert card.told("job") == "Choose the job."
    assert card.told("meter") == "Choose the meter that was read."
    card.choose("the ppm pen")
    assert card.page.locator("#unit").input_value() == "ppm"
    card.ask("flood", "2", "6")
    assert "the ppm pen shows 2\u00a0ppm" in card.result
    card.choose("the old pen")
    assert "Something was changed: ask again." in card.result
    card.page.locator("#unit").select_option("ppm")
    card.ask("flood", "2", "6")
    assert "its ppm mean nothing" in card.told("reading")
    card.choose("another meter, or nobody knows which")
    card.ask("flood", "2", "6")
    assert card.word == "HOLD"


def test_an_answer_goes_when_what_was_asked_changes(open_card: Open) -> None:
    card = open_card()
    card.ask("flood", "1.3", "6")
    card.choose("it smells")
    assert card.page.locator("#result h2").count() == 0
    assert not card.page.locator("#keep").is_visible()
    card.page.get_by_role("button", name=DO).tap()
    assert card.word == "DO NOT FILL"


def test_readings_stay_on_the_phone_and_go_only_after_asking(open_card: Open) -> None:
    card = open_card()
    for reading in ("1.3", "1.4"):
        card.ask("flood", reading, "6")
        card.keep()
    card.page.reload()
    assert card.rows == 2
    for answer, left in (("No, keep", 2), ("Yes, delete", 1)):
        card.page.get_by_role("button", name="Take out").first.tap()
        card.page.get_by_role("button", name=answer).tap()
        assert card.rows == left
    assert "1.4" in card.lines
    card.page.get_by_role("button", name="Delete all").tap()
    card.page.keyboard.press("Escape")
    assert card.rows == 1
    card.page.get_by_role("button", name="Delete all").tap()
    card.page.get_by_role("button", name="Yes, delete").tap()
    card.page.reload()
    assert (card.rows, card.said) == (0, [])


def test_the_lines_are_taken_by_the_log_as_they_are(
    open_card: Open, demo_folder: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "club"
    folder.mkdir()
    for path in demo_folder.iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    card = open_card(zone="America/St_Johns", now="2027-08-16T12:00:00Z")
    card.choose("at the hose end")
    card.choose("it has a film")
    card.choose("it is cloudy")
    card.ask("seal", "12345.678", "6.25", "480")
    card.page.locator("#total").fill("4560")
    card.keep('Kim "the tap" Lee, =both')
    card.ask("fill", "0.8", "9")
    card.keep("=Kim")
    for word in ("written", "stands there already"):
        told = CliRunner().invoke(main, ["log", str(folder), "--from", "-"], input=card.lines)
        assert (told.exit_code, told.output.count(word)) == (0, 2), told.output
    log = read_club(folder).readings
    assert log is not None
    assert log.time.tolist() == [np.datetime64("2027-08-16T12:00:00").astype(object)] * 2
    assert "2027-08-16T09:30-02:30" in card.lines
    assert log.point.tolist() == ["hose end", "DI outlet"]
    assert log.conductivity_us_cm.tolist() == [12345.7, 0.8]
    assert log.temperature_c.tolist() == [6.25, 9.0]
    assert log.meter.tolist() == ["pocket meter"] * 2
    assert log.treated_total_l[0] == 4560
    assert np.isnan([log.treated_total_l[1], *log.reference_c]).all()
    assert log.use.tolist() == ["seal", ""]
    assert log.by.tolist() == ['Kim "the tap" Lee, =both', "Kim"]
    assert log.note.tolist() == ["seen: film, cloudy", ""]


def test_ppm_are_handed_over_as_conductivity(open_card: Open) -> None:
    card = open_card(meters=METERS[2:], display="us", locale="en_US")
    card.ask("flood", "3.1", "43")
    card.page.locator("#total").fill("100")
    card.keep()
    (line,) = card.lines.splitlines()[1:]
    assert line.split(",")[1:8] == ["tank", "6.2", "6.11111", "ppm pen", "", "", "378.541"]


def test_a_phone_that_keeps_nothing_says_so(open_card: Open) -> None:
    script = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceeded'); };"
    card = open_card(script=script)
    assert not card.page.locator("#refused").is_visible()
    card.ask("flood", "1.3", "6")
    card.keep()
    assert card.page.locator("#refused").is_visible()
    assert (card.rows, card.said) == (1, [])
    assert "1.3,6,pocket meter" in card.lines


def test_what_the_phone_holds_but_cannot_be_read_is_left_alone(open_card: Open) -> None:
    card = open_card(script="localStorage.setItem(`waterkit readings: Three Sheets (an invented "
                            "club)`, '{broken')")  # fmt: skip
    card.ask("flood", "1.3", "6")
    card.keep()
    assert card.page.locator("#refused").is_visible()
    assert card.page.evaluate("localStorage.getItem(STORE)") == "{broken"


FOREIGN = [None, 7, "x", {}, {"time": "2027-08-16T09:00+00:00", "point": "tank"}]


def test_what_is_no_reading_neither_counts_nor_is_lost(open_card: Open) -> None:
    words = json.dumps(json.dumps(FOREIGN))
    card = open_card(script="localStorage.getItem(`waterkit readings: Three Sheets (an invented "
                            "club)`) ?? localStorage.setItem(`waterkit readings: Three Sheets "
                            f"(an invented club)`, {words})")  # fmt: skip
    card.ask("flood", "1.3", "6")
    assert card.word == "FILL"
    card.keep()
    assert (card.rows, card.said) == (1, [])
    assert card.page.locator("#foreign").is_visible()
    held = json.loads(card.page.evaluate("localStorage.getItem(STORE)"))
    assert held[:-1] == FOREIGN
    card.page.get_by_role("button", name="Delete all").tap()
    card.page.get_by_role("button", name="Yes, delete").tap()
    assert json.loads(card.page.evaluate("localStorage.getItem(STORE)")) == FOREIGN


def test_readings_are_copied_shared_or_marked_for_copying(open_card: Open) -> None:
    script = """
        window.handed = [];
        const paste = { writeText: async text => { if (window.deaf) throw 0; handed.push(text); } };
        Object.defineProperty(navigator, 'clipboard', { value: paste });
        navigator.share = async ({ text }) => { handed.push(text); };"""
    card = open_card(script=script)
    card.ask("flood", "1.3", "6")
    card.keep()
    card.page.get_by_role("button", name="Copy all").tap()
    card.page.get_by_role("button", name="Share all").tap()
    card.page.locator("#said", has_text="Handed over").wait_for()
    assert card.page.evaluate("handed") == [card.lines] * 2
    card.page.evaluate("window.deaf = true")
    card.page.get_by_role("button", name="Copy all").tap()
    card.page.locator("#said", has_text="copy them by hand").wait_for()
    assert card.page.evaluate("getSelection().toString()") == card.lines


@pytest.mark.parametrize(
    ("now", "old", "words"),
    [
        ("2027-08-15T23:00:00", False, "2027, today."),
        ("2027-08-22T10:00:00", False, "2027, 7 days ago."),
        ("2027-08-23T00:30:00", True, "This card is 8 days old"),
        ("2027-08-14T10:00:00", True, "clock stands before the day"),
    ],
)
def test_the_card_says_how_old_it_is(now: str, old: bool, words: str, open_card: Open) -> None:
    card = open_card(now=now)
    assert card.page.locator("#old").is_visible() == old
    assert words in card.page.locator("#old" if old else "#age").inner_text()
    card.ask("flood", "1.3", "6")
    assert card.word == "FILL"
    assert (words in card.result) == old


def _asked(card: Card) -> None:
    """A card with everything on it: an error told, an answer, a reading kept, a question asked."""
    card.choose("the pocket meter")
    card.ask("pebble", "6.2", "6")
    card.keep()
    card.unfold("#much")
    card.page.locator("#litres").fill("x")
    card.page.get_by_role("button", name=DO).tap()
    card.page.locator("#litres").fill("")
    card.page.get_by_role("button", name=DO).tap()
    card.page.locator("#litres").fill("")


@pytest.mark.parametrize("dark", [False, True])
def test_a_card_with_an_answer_is_accessible(dark: bool, open_card: Open) -> None:
    from axe_playwright_python.sync_playwright import Axe

    card = open_card(dark=dark, meters=METERS, now="2027-09-30T10:00:00")
    card.page.get_by_role("button", name=DO).tap()  # words beside the fields
    options = {"runOnly": AA, "resultTypes": ["violations"]}
    told = Axe().run(card.page, options=options)
    assert told.violations_count == 0, told.generate_report()
    _asked(card)
    answered = Axe().run(card.page, options=options)
    assert answered.violations_count == 0, answered.generate_report()
    card.page.get_by_role("button", name="Delete all").tap()
    asking = Axe().run(card.page, options=options)
    assert asking.violations_count == 0, asking.generate_report()
    assert card.page.locator("#result").get_attribute("aria-live") == "polite"


SMALL = """least => ['button', 'select', 'textarea', 'input']
    .flatMap(tag => [...document.querySelectorAll(`.phone ${tag}`)])
    .filter(e => e.checkVisibility()).map(e => e.closest('.choices label') ?? e)
    .map(e => [e.getBoundingClientRect(), e.outerHTML])
    .filter(([box]) => Math.min(box.height, box.width) < least).map(([, told]) => told)"""
WIDE = """() => [document.documentElement, ...document.querySelectorAll('.scroll')]
    .filter(e => e.checkVisibility() && e.scrollWidth > e.clientWidth).map(e => e.className)"""


def test_thumbs_find_everything_and_nothing_scrolls_sideways(open_card: Open) -> None:
    for changes in ({}, {"display": "us", "locale": "en_US"}, {"locale": "de_DE"}):
        card = open_card(meters=METERS, **changes)
        _asked(card)
        assert card.page.evaluate(SMALL, TARGET_PX) == []
        assert card.page.evaluate(WIDE) == []
        assert {
            card.page.locator(f"#{field}").get_attribute("inputmode")
            for field in ("reading", "temperature", "litres", "total")
        } == {"decimal"}


def test_without_script_the_card_answers_by_its_tables(open_card: Open) -> None:
    card = open_card(javascript=False)
    assert card.page.locator(".phone:visible").count() == 0
    told = card.page.locator("main").inner_text()
    assert "Filling the tank, by the pocket meter" in told
    assert "between two rows the smaller limit holds" in told
    assert card.page.locator("table:visible").count() == 6


SMALLEST = """() => Math.min(...[...document.querySelectorAll('body *')]
    .filter(e => e.checkVisibility() && !e.closest('.spoken') && [...e.childNodes].some(
        n => n.nodeType === 3 && n.textContent.trim()))
    .map(e => parseFloat(getComputedStyle(e).fontSize)))"""


def _plain(text: str) -> str:
    return re.sub(r"\s", "", unicodedata.normalize("NFKC", text))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("meters", [METERS[:1], METERS])
def test_on_paper_it_is_a_card_with_rows_to_write_in(
    meters: tuple[Meter, ...], paper: str, open_card: Open, tmp_path: Path
) -> None:
    from pypdf import PdfReader

    card = open_card(meters=meters)
    card.page.emulate_media(media="print")
    assert card.page.evaluate(SMALLEST) >= 11 * POINT - 0.01
    card.page.pdf(path=tmp_path / "card.pdf", format=paper, prefer_css_page_size=True)
    sheets = [_plain(page.extract_text()) for page in PdfReader(tmp_path / "card.pdf").pages]
    assert len(sheets) == 2 + len(meters)
    assert all(len(sheet) > 400 for sheet in sheets), [len(sheet) for sheet in sheets]
    for meter in meters:
        on = [sheet for sheet in sheets if _plain(f"Pebble, by the {meter.name}") in sheet]
        assert len(on) == 1
        assert _plain(f"Filling the tank, by the {meter.name}") in on[0]
    assert "Limitsareroundeddown." in sheets[1]
    assert "Rowstowritein" in sheets[-1]
    assert not any(_plain(DO) in sheet for sheet in sheets)


def test_a_card_for_many_meters_is_light(plan: SeasonPlan) -> None:
    meters = tuple(Meter(f"meter {n}", coefficient_percent_per_c=1.9 + n / 100) for n in range(5))
    assert len(card_text(plan, meters=meters).encode()) < MOST_BYTES
