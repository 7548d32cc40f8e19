"""A topic on the terminal."""

import sys
from typing import TYPE_CHECKING

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

if TYPE_CHECKING:
    from waterkit.pages.view.shapes import Table, Topic

WIDE = 120


def show(topic: "Topic") -> None:
    """Print a topic: its answer, facts, what to act on, tables, notes, cautions."""
    console = Console(width=None if sys.stdout.isatty() else WIDE, highlight=False)
    console.print(Text(topic.title, style="bold"))
    if topic.answer:
        console.print(Text(topic.answer))
    for fact in topic.facts:
        remark = f"  ({fact.remark})" if fact.remark else ""
        console.print(Text(f"  {fact.label}: {fact.text}{remark}"))
    _lines(console, "To act on", topic.findings)
    for table in topic.tables:
        _table(console, table)
    _lines(console, "Notes", topic.notes)
    _lines(console, "Cautions", topic.cautions)


def _lines(console: Console, head: str, lines: tuple[str, ...]) -> None:
    if lines:
        console.print()
        console.print(Text(head, style="bold"))
    for line in lines:
        console.print(Padding(Text(f"- {line}"), (0, 0, 0, 2)))


def _table(console: Console, table: "Table") -> None:
    grid = RichTable(title=Text(table.title, style="bold"), title_justify="left", box=SIMPLE_HEAD)
    for column in table.columns:
        head = f"{column.head}\n[{column.unit}]" if column.unit else column.head
        grid.add_column(Text(head), justify=column.align)
    for number, row in enumerate(table.rows):
        if number in table.groups:
            grid.add_section()
            grid.add_row(Text(table.groups[number], style="italic"))
        style = "bold" if number in table.marks else ""
        grid.add_row(*(Text(cell) for cell in row), style=style)
    console.print(grid)
    if table.caption:
        console.print(Padding(Text(table.caption), (0, 0, 0, 2)))
