"""Paint cards: the order of the work, the right way of mixing, and what is written by hand."""

import dataclasses
import re

import pytest

from waterkit.ice.checking import read_jug
from waterkit.ice.paint import Ratio
from waterkit.pages.view.card_parts import BLANK, CardSide
from waterkit.pages.view.cards import BatchCard, cards
from waterkit.pages.view.cautions import CAUTIONS
from waterkit.pages.view.figures import NBSP, Figures
from waterkit.plan import SeasonPlan, plan_season

METRIC = Figures()


def _with_white(plan: SeasonPlan, **changes: object) -> SeasonPlan:
    white = dataclasses.replace(plan.club.white, **changes)  # type: ignore[arg-type]
    return plan_season(dataclasses.replace(plan.club, white=white), plan.as_of)


def _words(side: CardSide) -> str:
    parts = [part for s in side.steps for part in (s.text, *s.ticks, *s.more, *s.write)]
    return " ".join(parts).replace(NBSP, " ")


def _order(card: BatchCard, *starts: str) -> list[int]:
    texts = [step.text for side in card.sides for step in side.steps]
    return [next(n for n, text in enumerate(texts) if text.startswith(start)) for start in starts]


def test_steps_come_in_the_order_of_the_work(plan: SeasonPlan) -> None:
    for card in cards(plan, METRIC):
        places = _order(
            card, "A crew of", "Water at tank", "Mixing tank", "Water first", "Start the mixer",
            "Respirator", "Powder second", "No more water", "Mix 10", "Check: count",
            "Then the same", "The surface is", "Shields", "4 passes", "A coat takes",
            "After a stop",
        )  # fmt: skip
        assert places == sorted(places)
    last = cards(plan, METRIC)[-2]
    places = _order(last, "Done after", "In all with", "Seal the white", "Left-over mix")
    assert places == sorted(places)


def test_powder_to_water_is_measured_and_powder_to_mix_is_filled_up(plan: SeasonPlan) -> None:
    assert plan.paint is not None
    batch = plan.paint.batches[1]
    measured = _words(cards(plan, METRIC)[1].sides[0])
    assert f"measure {batch.water_l:.1f} L into the tank" in measured
    assert "this mix would come out 2.4 % too strong" in measured  # 0.1 / 4.1
    per_mix = _with_white(plan, ratio=Ratio(0.1, "mix"))
    assert per_mix.paint is not None
    batch = per_mix.paint.batches[1]
    filled = _words(cards(per_mix, METRIC)[1].sides[0])
    assert f"fill up to {batch.in_tank_l + batch.mix_l:.1f} L in the tank" in filled
    assert "this mix would come out 2.4 % too thin" in filled  # 0.1 / 4.2
    assert "measure " not in filled.replace("do not measure", "")


def test_what_the_jug_asks_for_is_what_reading_it_asks_for(plan: SeasonPlan) -> None:
    assert plan.paint is not None
    assert plan.painting is not None
    assert plan.painting.jug is not None
    batch, jug = plan.paint.batches[0], plan.painting.jug
    words = _words(cards(plan, METRIC)[0].sides[0])
    expected, low, high = (f"{g:.0f} g" for g in (jug.expected_g, jug.low_g, jug.high_g))
    assert f"mix weighs {expected} more than water. {low} to {high}: go on." in words
    for sign, pattern, name in (
        (-1, r"then ([\d.]+) kg of powder for every 10 g", "add_powder_kg"),
        (1, r"More: ([\d.]+) L of water for every 10 g", "add_water_l"),
    ):
        found = re.search(pattern, words)
        assert found is not None
        off = read_jug(plan.club.white, jug.expected_g + sign * 100.0, batch.mark_l, 10.0)
        assert float(found.group(1)) * 10 == pytest.approx(getattr(off, name), rel=0.01)


def test_a_jug_that_cannot_tell_and_no_jug_at_all_leave_it_to_the_bags(plan: SeasonPlan) -> None:
    coarse = _words(cards(_with_white(plan, jug_l=1.0, scale_g=50.0), METRIC)[0].sides[0])
    assert "too coarse to tell: the bags count" in coarse
    for changes in ({"jug_l": None}, {"scale_g": None}):
        none = cards(_with_white(plan, **changes), METRIC)
        assert all("no jug and scale in club.toml" in _words(card.sides[0]) for card in none)


def test_coats_and_area_run_on_from_batch_to_batch(plan: SeasonPlan) -> None:
    first, last = (_words(card.sides[1]) for card in cards(plan, METRIC)[:2])
    assert "coat 1, on at" in first
    assert "coat 2, on at" in first
    assert re.search(r"coat 3, up to [\d.]+ m², on at", first)
    assert "2 of 4 coats, and " in first
    assert "coat 3, on at" in last
    assert "coat 4, on at" in last
    assert "4 of 4 coats." in last
    assert "Seal the white" in last
    assert "Seal the white" not in first


def test_the_running_sum_is_that_of_all_batches_before(plan: SeasonPlan) -> None:
    assert plan.paint is not None
    batches = plan.paint.batches
    for number, card in enumerate(cards(plan, METRIC)[:-1], start=1):
        powder = sum(batch.powder_kg for batch in batches[:number])
        water = sum(batch.water_l for batch in batches[:number])
        told = f"In all with this batch: {powder:.2f} kg in {water:.1f} L of water"
        assert told in _words(card.sides[1])


def test_every_bag_has_its_box_and_waste_its_word(plan: SeasonPlan) -> None:
    assert plan.paint is not None
    for card, batch in zip(cards(plan, METRIC), plan.paint.batches, strict=False):
        ticks = [tick for step in card.sides[0].steps for tick in step.ticks]
        assert len([tick for tick in ticks if tick.startswith("bag")]) == batch.whole_bags
        assert len(ticks) == (batch.whole_bags or 0) + bool(batch.weighed_kg)
    last = cards(plan, METRIC)[-2]
    assert "Left-over mix is discarded, not kept." in _words(last.sides[1])
    waste = [step.cautions for step in last.sides[1].steps if step.text.startswith("Left-over")]
    assert waste == [CAUTIONS["wash-out"]]


def test_dust_has_its_limit_and_whose_it_is(plan: SeasonPlan) -> None:
    for powder, told in (
        ("titanium dioxide", "total 15 mg/m³ (OSHA table Z-1)"),
        ("chalk", "respirable 5 mg/m³ (OSHA table Z-1); total 10 mg/m³ (NIOSH guide)"),
    ):
        card = cards(_with_white(plan, powder=powder), METRIC)[0]
        said = " ".join(c for step in card.sides[0].steps for c in step.cautions)
        assert told in said.replace(NBSP, " ")


def test_each_hazard_is_told_at_its_step_on_every_card(plan: SeasonPlan) -> None:
    for card in cards(plan, METRIC):
        steps = [step for side in card.sides for step in side.steps]
        for start, place in (
            ("Start the mixer", CAUTIONS["mixing"]),
            ("Respirator", CAUTIONS["powder"]),
            ("Shields", CAUTIONS["spraying"]),
        ):
            (step,) = (step for step in steps if step.text.startswith(start))
            assert set(place) <= set(step.cautions)


def test_the_empty_card_has_the_same_steps_and_no_figure_of_a_batch(plan: SeasonPlan) -> None:
    *filled, empty = cards(plan, METRIC)
    assert empty.title == f"Batch {BLANK} of {BLANK}"
    for one, other in zip(filled[-1].sides, empty.sides, strict=True):
        assert len(one.steps) == len(other.steps)
    assert plan.paint is not None
    own = {f"{b.water_l:.1f}" for b in plan.paint.batches}
    own |= {f"{b.powder_kg:.2f}" for b in plan.paint.batches}
    said = " ".join(_words(side) for side in empty.sides)
    assert not any(figure in said for figure in own)
    assert said.count(BLANK) > 30


def test_no_white_no_card(bare: SeasonPlan) -> None:
    assert cards(bare, METRIC) == ()


def test_cards_speak_us_units_and_a_locale(plan: SeasonPlan) -> None:
    us = _words(cards(plan, Figures("us", "en_US", "USD"))[0].sides[0])
    assert "measure 79.3 US gal into the tank" in us
    assert "for every 0.5 oz" in us
    german = _words(cards(plan, Figures(locale="de_DE"))[0].sides[0])
    assert "measure 300,0 L into the tank" in german
    assert not re.search(r"\d (kg|g|L)\b", us)
    assert set(re.findall(r"\d+ °C", us)) == {"25 °C"}  # at which limits hold everywhere


def test_many_passes_of_sealing_get_a_line_instead_of_boxes(plan: SeasonPlan) -> None:
    layers = tuple(
        dataclasses.replace(row, passes=30) if row.step == "seal the white" else row
        for row in plan.club.layers
    )
    many = plan_season(dataclasses.replace(plan.club, layers=layers), plan.as_of)
    assert "all 30" in _words(cards(many, METRIC)[1].sides[1])
