import dataclasses
import datetime as dt

from waterkit.errors import Problem
from waterkit.pages.view.figures import Figures
from waterkit.pages.view.sentences import sentences
from waterkit.pages.view.week import agenda, made_from, this_week, uncertain
from waterkit.plan import SeasonPlan, plan_season
from waterkit.plan.week import WEEK


def at(plan: SeasonPlan, day: dt.date) -> SeasonPlan:
    return plan_season(plan.club, day)


def test_late_things_come_first_and_say_so(plan: SeasonPlan, figures: Figures) -> None:
    now, soon = this_week(plan, figures).tables
    assert now.marks == set(range(len(now.rows)))
    assert all(row[0].startswith("late: ") for row in now.rows)
    assert soon.marks == frozenset()
    assert all(not row[0].startswith("late: ") for row in soon.rows)


def test_every_line_leads_to_the_page_that_tells_more(plan: SeasonPlan, figures: Figures) -> None:
    for table in this_week(plan, figures).tables:
        assert set(table.links) == set(range(len(table.rows)))
        assert table.head == 1


def test_the_week_of_the_build_tells_its_steps(plan: SeasonPlan, figures: Figures) -> None:
    assert plan.start is not None
    topic = this_week(at(plan, plan.start.date()), figures)
    words = " ".join(cell for row in topic.tables[0].rows for cell in row)
    assert "Begin: wash the slab" in words
    assert "due this week" in topic.answer


def test_vessels_to_change_stand_among_what_is_due(plan: SeasonPlan) -> None:
    days = tuple(due.day for due in agenda(plan).dues if due.note.key == "changeout-due")
    assert days == plan.supply.change_days() != ()


def test_an_old_sample_has_to_be_tested_again(plan: SeasonPlan, figures: Figures) -> None:
    late = at(plan, plan.feed.in_force.date + dt.timedelta(days=370))
    words = " ".join(cell for row in this_week(late, figures).tables[0].rows for cell in row)
    assert "Have the supply tested again" in words
    assert "late: " in words


def test_a_week_without_anything_says_so(plan: SeasonPlan, figures: Figures) -> None:
    done = tuple(dataclasses.replace(row, done_on=dt.date(2027, 9, 1)) for row in plan.club.layers)
    club = dataclasses.replace(plan.club, items=(), meters=(), layers=done)
    topic = this_week(plan_season(club, dt.date(2027, 10, 5)), figures)
    assert topic.answer.startswith("Nothing needs doing this week")


def test_what_stands_in_the_way_of_one_kind_leaves_the_others(
    plan: SeasonPlan, figures: Figures
) -> None:
    problem = Problem("offers.csv", "no such item", line=7)
    club = dataclasses.replace(plan.club, broken={"offers": (problem,)})
    topic = this_week(plan_season(club, plan.as_of), figures)
    *told, cure = topic.findings
    assert told == ["Not told: orders.", "offers.csv:7: no such item"]
    assert "'waterkit check' tells the cures" in cure
    assert topic.answer.startswith("Orders cannot be told; as far as is known ")
    assert topic.tables[1].rows


def test_the_cure_is_told_once_however_much_is_in_the_way(
    plan: SeasonPlan, figures: Figures
) -> None:
    broken = {part: (Problem(f"{part}.csv", "x", line=2),) for part in ("offers", "meters")}
    topic = this_week(
        plan_season(dataclasses.replace(plan.club, broken=broken), plan.as_of), figures
    )
    assert sum("tells the cures" in finding for finding in topic.findings) == 1


def test_what_build_and_water_ask_to_act_on_stands_on_the_first_page(
    plan: SeasonPlan, figures: Figures
) -> None:
    late = at(plan, dt.date(2027, 9, 18))
    expected = sentences((*late.supply_findings, *late.build_findings), figures)
    assert expected
    assert set(expected) <= set(this_week(late, figures).findings)


def test_steps_never_marked_done_are_one_finding_and_no_dues(
    plan: SeasonPlan, figures: Figures
) -> None:
    played = at(plan, dt.date(2028, 2, 6))
    topic = this_week(played, figures)
    assert sum("not marked done" in finding for finding in topic.findings) == 1
    assert not [due for due in agenda(played).dues if due.topic == "layers"]


def test_what_is_left_out_is_counted(plan: SeasonPlan, figures: Figures) -> None:
    _, soon = this_week(plan, figures).tables
    later = [due for due in agenda(plan).dues if due.day >= plan.as_of + WEEK]
    assert soon.rows[-1][1].startswith(f"and {len(later) - (len(soon.rows) - 1)} more")


def test_a_faulty_file_is_not_told_as_missing(plan: SeasonPlan, figures: Figures) -> None:
    problem = Problem("suppliers.csv", "x", line=2)
    club = dataclasses.replace(plan.club, suppliers=(), broken={"suppliers": (problem,)})
    table = made_from(plan_season(club, plan.as_of), figures)
    assert ("suppliers.csv", "has errors", "") in table.rows
    assert "suppliers.csv" not in table.caption


def test_the_count_of_assumed_figures_is_the_clubs(plan: SeasonPlan, figures: Figures) -> None:
    assumed = sum(figure.basis == "assumed" for figure in plan.club.figures)
    first = uncertain(plan, figures).notes[0]
    assert first.startswith(f"{assumed} of the plan's {len(plan.club.figures)} figures")


def test_the_files_are_named_with_what_they_hold(plan: SeasonPlan, figures: Figures) -> None:
    rows = {row[0]: row[1:] for row in made_from(plan, figures).rows}
    assert rows["layers.csv"][0] == f"{len(plan.club.layers)} steps"
    assert rows["stock.csv"][1].replace("\u00a0", " ") == "Jul 4, 2027"
    bare = dataclasses.replace(plan.club, stock=())
    table = made_from(plan_season(bare, plan.as_of), figures)
    assert table.caption.startswith("Not there, or empty: ")
    assert "stock.csv" in table.caption


def test_a_very_long_name_takes_no_more_than_a_line_or_two(
    plan: SeasonPlan, figures: Figures
) -> None:
    name = "Donaudampfschifffahrtsgesellschaft" * 6
    offers = tuple(dataclasses.replace(offer, supplier=name) for offer in plan.club.offers)
    suppliers = (dataclasses.replace(plan.club.suppliers[0], supplier=name),)
    club = dataclasses.replace(plan.club, offers=offers, suppliers=suppliers)
    rows = [
        row
        for table in this_week(plan_season(club, plan.as_of), figures).tables
        for row in table.rows
    ]
    assert any("…" in row[1] for row in rows)
    assert max(len(row[1]) for row in rows) < len(name)
