"""The form of the tank card: what is asked first, what is folded away, and checks of a meter."""

import datetime as dt
from typing import cast

import pytest

from tests.pages.phones import DO, Open
from waterkit.pages.view.verdict import cautions_of
from waterkit.water.limits import Use
from waterkit.water.meter import Meter

pytestmark = pytest.mark.browser

METERS = (Meter("pocket meter"), Meter("old pen", "none"))


def test_the_job_is_asked_for_at_the_top_of_the_first_screen(open_card: Open) -> None:
    card = open_card(meters=METERS)
    jobs = [label.bounding_box() for label in card.page.locator("#job label").all()]
    assert jobs[0] is not None
    assert jobs[0]["y"] < 240
    assert not card.page.get_by_text("it smells").is_visible()
    assert not card.page.locator("#litres").is_visible()
    card.page.locator("#look summary").tap()
    assert card.page.get_by_text("it smells").is_visible()


@pytest.mark.parametrize("job", ["fill", "pebble", "white"])
def test_the_cautions_of_the_job_stand_below_its_verdict(job: str, open_card: Open) -> None:
    card = open_card()
    card.ask(job, "1.3", "6")
    use: Use | None = None if job == "fill" else cast("Use", job)
    assert card.result.split("Take care")[1].strip().splitlines() == list(cautions_of(use, False))


def test_a_wrong_number_that_is_folded_away_is_unfolded(open_card: Open) -> None:
    card = open_card()
    card.ask("flood", "1.3", "6", "x")
    card.page.locator("#much summary").tap()
    assert not card.page.locator("#litres").is_visible()
    card.page.get_by_role("button", name=DO).tap()
    assert "is not a number" in card.told("litres")


def test_a_check_on_the_phone_lifts_an_overdue_hold_and_sets_a_new_one(open_card: Open) -> None:
    meter = Meter("pocket meter", standard_us_cm=84.0, opened=dt.date(2027, 8, 1))
    card = open_card(meters=(meter,))
    lapse = "carried.beliefs['pocket meter'].checked_until = '2027-07-01'"
    card.page.evaluate(lapse)
    card.ask("flood", "1.3", "6")
    assert card.word == "HOLD"
    assert "keep the check on this phone" in card.result
    assert "waterkit log" not in card.result
    card.page.locator("#checking summary").tap()
    for shown, word in (("84", "FILL"), ("60", "HOLD")):
        card.page.locator("#check-reading").fill(shown)
        card.page.locator("#check-temperature").fill("25")
        card.page.get_by_role("button", name="Keep the check").tap()
        card.ask("flood", "1.3", "6")
        assert card.word == word
        assert card.said == []
    assert card.lines.count(",standard,") == 2
