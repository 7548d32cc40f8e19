"""Paint cards: the order of the work, the right way of mixing, and what is written by hand."""

import dataclasses
import math
import re

import pytest

from waterkit.ice.batches import plan_paint
from waterkit.ice.checking import read_jug
from waterkit.ice.paint import Ratio
from waterkit.ice.progress import progress
from waterkit.pages.view.card_parts import BLANK, CardSide
from waterkit.pages.view.cards import BatchCard, cards
from waterkit.pages.view.cautions import CAUTIONS, CONFINED, DRINKING_WATER
from waterkit.pages.view.figures import NBSP, Figures
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.mixing import Mixing, mixing

METRIC = Figures()


def _with_white(plan: SeasonPlan, **changes: object) -> SeasonPlan:
    white = dataclasses.replace(plan.club.white, **changes)  # type: ignore[arg-type]
    return plan_season(dataclasses.replace(plan.club, white=white), plan.as_of)


def _mixed(plan: SeasonPlan) -> Mixing:
    mixed = mixing(plan)
    assert mixed is not None
    return mixed


def _words(side: CardSide) -> str:
    parts = [part for s in side.steps for part in (s.text, *s.ticks, *s.more, *s.write)]
    return " ".join(parts).replace(NBSP, " ")


def _order(card: BatchCard, *starts: str) -> list[int]:
    texts = [step.text for side in card.sides for step in side.steps]
    return [next(n for n, text in enumerate(texts) if text.startswith(start)) for start in starts]


def test_steps_come_in_the_order_of_the_work(plan: SeasonPlan) -> None:
    for card in cards(plan, METRIC):
        places = _order(
            card, "Water at tank", "Mixing tank", "Water first", "Start the mixer",
            "Respirator", "Powder second", "No more water", "Mix 10", "Check: count",
            "Then the same", "A crew of", "The surface is", "Shields", "3 passes", "A coat takes",
            "After a stop",
        )  # fmt: skip
        assert places == sorted(places)
    last = cards(plan, METRIC)[-2]
    places = _order(last, "Done after", "In all with", "Seal the white", "Left-over mix")
    assert places == sorted(places)


def test_powder_to_water_is_measured_and_powder_to_mix_is_filled_up(plan: SeasonPlan) -> None:
    batch = _mixed(plan).batches[1]
    measured = _words(cards(plan, METRIC)[1].sides[0])
    scale = f"(on the tank's scale: {batch.water_l + 10.0:.1f} L, before the powder)"
    assert f"measure {batch.water_l:.1f} L into the tank {scale}." in measured
    assert "scale: " not in _words(cards(plan, METRIC)[0].sides[0])
    assert "this mix would come out 2.5 % too strong" in measured  # 0.1033 / 4.1
    per_mix = _with_white(plan, ratio=Ratio(0.1, "mix"))
    batch = _mixed(per_mix).batches[1]
    filled = _words(cards(per_mix, METRIC)[1].sides[0])
    assert f"Water first, a part of it: about {batch.water_l * 2 / 3:.0f} L." in filled
    assert f"fill up to {batch.in_tank_l + batch.mix_l:.1f} L in the tank" in filled
    assert "this mix would come out 2.4 % too thin" in filled  # 0.101 / 4.2
    assert "measure " not in filled


def test_what_the_jug_asks_for_is_what_reading_it_asks_for(plan: SeasonPlan) -> None:
    mixed = _mixed(plan)
    batch, jug = mixed.batches[0], mixed.jug
    assert jug is not None
    words = _words(cards(plan, METRIC)[0].sides[0])
    expected = f"{jug.expected_g:.0f} g"
    low, high = f"{math.ceil(jug.low_g)} g", f"{math.floor(jug.high_g)} g"
    for told, outcome in ((low, "as planned"), (high, "as planned")):
        assert read_jug(mixed.white, float(told[:-2]), batch.mark_l).outcome == outcome
    assert f"mix weighs {expected} more than water. {low} to {high}: go on." in words
    for sign, pattern, name in (
        (-1, r"then ([\d.]+) kg of powder for every 10 g below (\d+ g)", "add_powder_kg"),
        (1, r"More: ([\d.]+) L of water for every 10 g above (\d+ g)", "add_water_l"),
    ):
        found = re.search(pattern, words)
        assert found is not None
        assert found.group(2) == expected
        off = read_jug(mixed.white, jug.expected_g + sign * 100.0, batch.mark_l, 10.0)
        assert float(found.group(1)) * 10 == pytest.approx(getattr(off, name), rel=0.01)


def test_a_jug_that_cannot_tell_and_no_jug_at_all_leave_it_to_the_bags(plan: SeasonPlan) -> None:
    coarse = _words(cards(_with_white(plan, jug_l=1.0, scale_g=50.0), METRIC)[0].sides[0])
    assert "too coarse to tell, the bags count" in coarse
    assert "go on" not in coarse
    assert not re.search(r"\d kg of powder for|\d L of water for", coarse)
    for changes in ({"jug_l": None}, {"scale_g": None}):
        none = cards(_with_white(plan, **changes), METRIC)
        assert all("no jug and scale in club.toml" in _words(card.sides[0]) for card in none)


def test_coats_and_area_run_on_from_batch_to_batch(plan: SeasonPlan) -> None:
    # 297.8 L less the heel of 10 L are 1.966 coats of 146.4 L, so 2.898 of 3 sheets: 41 of 45.7 m.
    first, last = (_words(card.sides[1]) for card in cards(plan, METRIC)[:2])
    assert "coat 1, at" in first
    assert "coat 2, as far as 41 m of sheet 3, at" in first
    assert "1 of 4 coats, coat 2 as far as 41 m of sheet 3." in first
    assert "coat 2, at" in last
    assert "coat 3, at" in last
    assert "coat 4, at" in last
    assert "4 of 4 coats." in last
    assert "Seal the white" in last
    assert "Seal the white" not in first


def test_a_coat_that_would_hardly_begin_is_not_begun(plan: SeasonPlan) -> None:
    # A tank of 310 L less the heel of 10 L is 2.03 coats of 0.212 L/m2 with 7 % of loss.
    weighing = _with_white(plan, ratio=Ratio(0.0928, "water"), per_coat_l_m2=0.212, tank_l=310.0)
    done = progress(weighing.club.white, _mixed(weighing).batches, 651.51)[0]
    assert (done.coats, 0 < done.area_m2 < 0.05 * 651.51) == (2, True)
    words = _words(cards(weighing, METRIC)[0].sides[1])
    assert f"{done.coats} of 4 coats, the little that is left" in words
    assert f"coat {done.coats + 1}" not in words


def test_seconds_are_length_by_pace_and_lanes_are_told(plan: SeasonPlan) -> None:
    assert plan.painting is not None
    words = _words(cards(plan, METRIC)[0].sides[1])
    found = re.search(r"at ([\d.]+) m/s: (\d+) seconds for the ([\d.]+) m", words)
    assert found is not None
    pace, seconds, length = map(float, found.groups())
    assert seconds == pytest.approx(length / pace, abs=1.0)
    assert "4 lanes, one every 3.56 m" in words
    sealing = plan.painting.sealing
    assert sealing is not None
    wait = f"5 passes, the plant needs about {60 * sealing.hours.wait_per_pass_h:.0f} min for each"
    assert wait in _words(cards(plan, METRIC)[1].sides[1])


def test_one_bag_too_many_is_put_right_within_the_tank(plan: SeasonPlan) -> None:
    # One bag of 10 kg more asks for 10 / 0.10328 = 96.8 L of water: 397 L, the tank holds 320.
    words = _words(cards(plan, METRIC)[0].sides[0])
    assert (
        "One too many: pump 58.3 L into a clean drum first, then add 78.0 L of water to the tank"
        " and 18.8 L to the drum; mix 99 L less after it" in words
    )
    assert "less after it" not in _words(cards(plan, METRIC)[1].sides[0])
    # Half of everything: one batch, and room for it in the tank.
    small = _with_white(plan, coats=1, per_coat_l_m2=0.21)
    batch = _mixed(small).batches[0]
    assert batch.whole_bags
    bag_kg = (batch.powder_kg - (batch.weighed_kg or 0.0)) / batch.whole_bags
    roomy = _words(cards(small, METRIC)[0].sides[0])
    water_l = bag_kg / _mixed(small).white.ratio.value_kg_l
    assert f"One too many: add {water_l:.1f} L of water." in roomy


def test_many_small_bags_are_counted(plan: SeasonPlan) -> None:
    assert plan.painting is not None
    small = plan_paint(plan.club.white, plan.painting.area_m2, 1.0)
    many_plan = plan_season(plan.club, plan.as_of)
    many_plan.__dict__["paint"] = small  # as if the powder came in bags of 1 kg
    ticks = [t for step in cards(many_plan, METRIC)[0].sides[0].steps for t in step.ticks]
    assert ticks[0] == f"{_mixed(many_plan).batches[0].whole_bags} bags, counted {BLANK}"
    assert len(ticks) <= 2


def test_nothing_left_in_the_tank_is_not_told(plan: SeasonPlan) -> None:
    dry = cards(_with_white(plan, heel_l=0.0), METRIC)[:-1]
    said = " ".join(_words(side) for card in dry for side in card.sides)
    assert "about 0 L" not in said
    assert "pumped down." in said
    assert "on the tank's scale" not in said


def test_the_running_ratio_has_its_bounds(plan: SeasonPlan) -> None:
    assert "0.098 to 0.108: go on." in _words(cards(plan, METRIC)[0].sides[1])  # 0.1033, 5 %


def test_the_running_sum_is_that_of_all_batches_before(plan: SeasonPlan) -> None:
    batches = _mixed(plan).batches
    for number, card in enumerate(cards(plan, METRIC)[:-1], start=1):
        powder = sum(batch.powder_kg for batch in batches[:number])
        water = sum(batch.water_l for batch in batches[:number])
        told = f"In all with this batch: {powder:.2f} kg in {water:.1f} L of water"
        assert told in _words(card.sides[1])


def test_every_bag_has_its_box_and_waste_its_word(plan: SeasonPlan) -> None:
    for card, batch in zip(cards(plan, METRIC), _mixed(plan).batches, strict=False):
        ticks = [tick for step in card.sides[0].steps for tick in step.ticks]
        assert len([tick for tick in ticks if tick.startswith("bag")]) == batch.whole_bags
        assert len(ticks) == (batch.whole_bags or 0) + bool(batch.weighed_kg)
    last = cards(plan, METRIC)[-2]
    assert "Left-over mix is discarded, not kept." in _words(last.sides[1])
    waste = [step.cautions for step in last.sides[1].steps if step.text.startswith("Left-over")]
    assert waste == [(*CAUTIONS["wash-out"], CONFINED)]


def test_each_hazard_is_told_at_its_step_on_every_card(plan: SeasonPlan) -> None:
    for card in cards(plan, METRIC):
        steps = [step for side in card.sides for step in side.steps]
        for start, place in (
            ("Water first", (DRINKING_WATER,)),
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
    own = {f"{b.water_l:.1f}" for b in _mixed(plan).batches}
    own |= {f"{b.powder_kg:.2f}" for b in _mixed(plan).batches}
    said = " ".join(_words(side) for side in empty.sides)
    assert not any(figure in said for figure in own)
    assert said.count(BLANK) > 30
    assert "about 10 L" not in said
    assert "Stop when the pump draws air" in said
    assert "After the last batch: seal the white" in said


def test_no_white_no_card(bare: SeasonPlan) -> None:
    assert cards(bare, METRIC) == ()


def test_cards_speak_us_units_and_a_locale(plan: SeasonPlan) -> None:
    us = _words(cards(plan, Figures("us", "en_US", "USD"))[0].sides[0])
    assert "measure 76.7 US gal into the tank" in us  # 290.5 L
    assert "for every 0.5 oz" in us
    german = _words(cards(plan, Figures(locale="de_DE"))[0].sides[0])
    assert "measure 290,5 L into the tank" in german
    assert not re.search(r"\d (kg|g|L)\b", us)
    assert set(re.findall(r"\d+ °C", us)) == {"25 °C"}  # at which limits hold everywhere


def test_many_passes_of_sealing_get_a_line_instead_of_boxes(plan: SeasonPlan) -> None:
    layers = tuple(
        dataclasses.replace(row, passes=30) if row.step == "seal the white" else row
        for row in plan.club.layers
    )
    many = plan_season(dataclasses.replace(plan.club, layers=layers), plan.as_of)
    assert "all 30" in _words(cards(many, METRIC)[1].sides[1])
