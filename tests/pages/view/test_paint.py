"""The paint topic: what each table tells is what the plan holds, and what nobody can tell."""

import dataclasses

import pytest

from waterkit.ice.batches import WholeBags, plan_paint
from waterkit.ice.markings import Colours
from waterkit.ice.paint import Ratio, White
from waterkit.pages.view.figures import NBSP, Figures
from waterkit.pages.view.paint import paint, whole_bags_words
from waterkit.pages.view.sentences import counted
from waterkit.pages.view.shapes import Table
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.mixing import mixing
from waterkit.units import convert


def _with_white(plan: SeasonPlan, **changes: object) -> SeasonPlan:
    white = dataclasses.replace(plan.club.white, **changes)  # type: ignore[arg-type]
    return plan_season(dataclasses.replace(plan.club, white=white), plan.as_of)


def _table(plan: SeasonPlan, title: str, figures: Figures) -> Table:
    return next(table for table in paint(plan, figures).tables if table.title == title)


def _row(table: Table, name: str) -> tuple[str, ...]:
    return next(
        tuple(cell.replace(NBSP, " ") for cell in row) for row in table.rows if row[0] == name
    )


def test_a_patch_tells_coats_with_their_range(plan: SeasonPlan, figures: Figures) -> None:
    assert plan.painting is not None
    found = plan.painting.cover
    row = _row(_table(plan, "Will it cover", figures), "Coats that hide the slab")
    assert row[1] == str(found.coats)
    assert row[2].startswith(f"{found.coats_low} to {found.coats_high}: ")


def test_without_a_patch_there_is_no_count_but_grams(plan: SeasonPlan, figures: Figures) -> None:
    bare = _with_white(plan, patch_black_percent=None, patch_white_percent=None)
    table = _table(bare, "Will it cover", figures)
    assert _row(table, "Coats that hide the slab")[1] == "cannot be told"
    assert len(table.rows) == 3
    assert _row(table, "Powder of all 4 coats") == (
        "Powder of all 4 coats", "82 g/m²", "common practice is 80 g/m² to 140 g/m²",
    )  # fmt: skip
    assert "test patch" in " ".join(paint(bare, figures).notes)


def test_a_patch_that_leaves_it_open_says_so(plan: SeasonPlan, figures: Figures) -> None:
    thick = _with_white(plan, patch_black_percent=90.0, patch_white_percent=90.1)
    row = _row(_table(thick, "Will it cover", figures), "Coats that hide the slab")
    assert row[1:] == ("cannot be told", "the test patch leaves it open")


def test_a_jug_that_cannot_tell_says_so(plan: SeasonPlan, figures: Figures) -> None:
    fine = _row(_table(plan, "Checking a batch", figures), "Jug and scale tell the ratio within")
    assert fine[2] == "a batch between the two weights is at most 10 % off, 5 % as read"
    coarse = _with_white(plan, jug_l=1.0, scale_g=50.0)
    table = _table(coarse, "Checking a batch", figures)
    assert "nobody can tell" in _row(table, "Jug and scale tell the ratio within")[2]
    assert _row(table, "Nobody can tell from")[1]
    for fill_percent in (0.20, 0.21, 0.22, 0.23, 0.24):  # what is too coarse for 5 % is not 5.0 %
        near = _table(_with_white(plan, jug_fill_percent=fill_percent), "Checking a batch", figures)
        row = _row(near, "Jug and scale tell the ratio within")
        assert ("too coarse" in row[2]) == (float(row[1].split()[0]) > 5.0)
    titles = [table.title for table in paint(_with_white(plan, jug_l=None), figures).tables]
    assert "Checking a batch" not in titles


def test_a_ratio_per_mix_is_filled_up_to_the_mark(plan: SeasonPlan, figures: Figures) -> None:
    per_mix = _with_white(plan, ratio=Ratio(0.1, "mix"))
    table = _table(per_mix, "Batches", figures)
    mixed = mixing(per_mix)
    assert mixed is not None
    assert [column.head for column in table.columns][1] == "Fill up to"
    marks = [f"{batch.mark_l:.1f}" for batch in mixed.batches]
    assert [row[1] for row in table.rows] == marks
    assert "too thin" in table.caption
    assert "too strong" in _table(plan, "Batches", figures).caption


def test_weights_are_rounded_to_the_side_on_which_nothing_is_done(
    plan: SeasonPlan, figures: Figures
) -> None:
    for shown, unit in ((figures, "g"), (Figures("us", "en_US", "USD"), "oz")):
        for jug_l in (0.2, 1.0, 5.0, 10.0):
            club = _with_white(plan, jug_l=jug_l, scale_g=0.1)
            mixed = mixing(club)
            assert mixed is not None
            assert mixed.jug is not None
            table = _table(club, "Checking a batch", shown)
            told = [
                float(convert(float(row[1].split(NBSP)[0]), unit, "g")) for row in table.rows[:3]
            ]
            assert mixed.jug.low_g <= told[1] < told[0] < told[2] <= mixed.jug.high_g
            assert told[1] - mixed.jug.low_g < 0.03 * mixed.jug.expected_g


def test_whole_bags_come_first_where_they_cost_little(plan: SeasonPlan, figures: Figures) -> None:
    assert plan.paint is not None
    topic, whole = paint(plan, figures), plan.paint.in_whole_bags
    assert whole is not None
    first, second = topic.tables[:2]
    assert [row[3:5] for row in first.rows] == [("3", "0.00"), ("3", "0.00")]
    assert "3.3 % more powder" in first.caption.replace(NBSP, " ")
    assert "That costs little." in first.caption
    assert (second.title, second.caption) == (
        "The same at the ratio asked for, weighed", "The cards take whole bags.",
    )  # fmt: skip
    assert [row[3:5] for row in second.rows] == [("3", "0.00"), ("2", "8.14")]
    assert topic.answer.replace(NBSP, " ").startswith("Mix 60.0 kg of titanium dioxide into 581 L")


def test_what_is_weighed_stands_beside_the_bags(plan: SeasonPlan, figures: Figures) -> None:
    weighing = _with_white(plan, ratio=Ratio(0.0928, "water"))
    assert weighing.paint is not None
    assert weighing.paint.bags
    assert weighing.paint.left_in_bag_kg is not None
    bag_kg = (weighing.paint.powder_kg + weighing.paint.left_in_bag_kg) / weighing.paint.bags
    first, second = paint(weighing, figures).tables[:2]
    assert any(int(row[3]) for row in first.rows)
    for row, batch in zip(first.rows, weighing.paint.batches, strict=True):
        assert float(row[2]) == pytest.approx(bag_kg * int(row[3]) + float(row[4]), abs=0.011)
        assert row[3] == str(batch.whole_bags)
    assert second.title == "The same without weighing"
    assert second.caption.endswith("The cards weigh.")


def test_a_sheet_takes_its_length_by_the_pace(plan: SeasonPlan, figures: Figures) -> None:
    # 45.72 m at 0.87 m/s are 52 s; four lanes of 3.56 m reach over 14.25 m.
    table = _table(plan, "Spraying a coat", figures)
    assert _row(table, "A sheet takes")[1] == "52.3 s"
    assert _row(table, "Passes for a coat")[2] == "at 0.87 m/s"
    assert _row(table, "Lanes")[1:] == ("4", "one every 3.56 m of width")


def test_a_range_of_one_count_is_told_once(plan: SeasonPlan, figures: Figures) -> None:
    light = _with_white(plan, slab_reflectance_percent=95.0)
    row = _row(_table(light, "Will it cover", figures), "Coats that hide the slab")
    assert row[1] == "0"
    assert row[2].startswith("0: ")
    assert "already as light" in " ".join(paint(light, figures).notes)


def test_who_has_a_patch_is_not_told_to_try_one(plan: SeasonPlan, figures: Figures) -> None:
    thin = " ".join(paint(_with_white(plan, per_coat_l_m2=0.1), figures).notes)
    assert "is outside common practice" in thin
    assert "try a test patch" not in thin


def test_nothing_left_over_is_not_told(plan: SeasonPlan, figures: Figures) -> None:
    dry = _with_white(plan, heel_l=0.0)
    assert any("stays in the tank" in note for note in paint(plan, figures).notes)
    assert not any("stays in the tank" in note for note in paint(dry, figures).notes)


def _whole(bag_kg: float, area_m2: float) -> WholeBags:
    white = White(powder_density_kg_l=4.0, ratio=Ratio(0.1, "mix"), coats=2, loss_percent=0.0)
    whole = plan_paint(white, area_m2, bag_kg).in_whole_bags
    assert whole is not None
    return whole


def test_whole_bags_tell_what_they_cost(figures: Figures) -> None:
    nearly = whole_bags_words(_whole(5.0, 580.0), figures).replace(NBSP, " ")  # 26.5 kg wanted
    assert nearly.startswith("Without weighing: 6 bags in 1 batch. It costs ")
    assert "of mix too much, to be discarded" in nearly
    assert "little" not in nearly
    little = whole_bags_words(_whole(5.0, 550.0), figures).replace(NBSP, " ")  # 25.2 kg wanted
    assert "0.8 % less powder in each litre than planned. That costs little." in little
    exact = dataclasses.replace(_whole(5.0, 550.0), ratio_percent=0.0)
    assert whole_bags_words(exact, figures).endswith("1 batch, just as planned.")
    more = dataclasses.replace(exact, more_batches=1)
    assert "It costs 1 batch more." in whole_bags_words(more, figures)


def test_colours_and_lines_of_every_game_are_told(plan: SeasonPlan, figures: Figures) -> None:
    colours = Colours("blue", "", "red", mixed_doubles=True, wheelchair=True)
    many = plan_season(dataclasses.replace(plan.club, colours=colours), plan.as_of)
    table = _table(many, "Colours and lines", figures)
    assert _row(table, "Marks of mixed doubles")[1] == "18"
    assert _row(table, "Wheelchair lines")[1:] == (
        "12", "4.57 m each, outer edge 0.4572 m from the centre line; in the yarn above",
    )  # fmt: skip
    discs = plan_season(dataclasses.replace(plan.club, colours=Colours(discs=True)), plan.as_of)
    assert _row(_table(discs, "Colours and lines", figures), "Discs of fabric")[1] == "6"


def test_dust_limits_stand_under_whose_they_are(plan: SeasonPlan, figures: Figures) -> None:
    table = _table(plan, "Dust in the air", figures)
    assert any("29 CFR 1910.1000" in body for body in table.groups.values())
    assert ("titanium dioxide", "total", "15") in table.rows
    assert any("leave at once" in row[1] for row in table.rows)


def test_too_few_coats_are_something_to_act_on(plan: SeasonPlan, figures: Figures) -> None:
    topic = paint(_with_white(plan, coats=1), figures)
    assert [text for text in topic.findings if "coats are planned" in text] == list(topic.findings)
    assert not set(topic.findings) & set(topic.notes)


@pytest.mark.parametrize(("count", "words"), [(1, "1 batch"), (0, "0 batches"), (2, "2 batches")])
def test_a_count_has_its_noun(count: int, words: str) -> None:
    assert counted(count, "batch", "batches") == words
