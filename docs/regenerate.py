"""Write the pages of this folder that are made from the program itself.

``python -m docs.regenerate`` writes them; ``tests/test_docs.py`` fails while one of them is old.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import get_args

from click.testing import CliRunner

from docs.column_page import column_drawing, column_page
from docs.hand_check import hand_check_page
from docs.key_page import keys_page
from docs.source_pages import messages_page, methods_page
from docs.tables import MADE, table
from waterkit import units
from waterkit.cli import main
from waterkit.pages.view.cautions import Place, cautions_at
from waterkit.quantities import REGISTER, Quantity

DOCS = Path(__file__).parent


def help_of(*command: str) -> str:
    """What ``waterkit COMMAND --help`` prints, 80 columns wide."""
    result = CliRunner().invoke(main, [*command, "--help"], prog_name="waterkit", terminal_width=80)
    if result.exit_code:
        raise SystemExit(f"waterkit {' '.join(command)} --help ended with {result.exit_code}")
    return result.output.rstrip() + "\n"


def cli_page() -> str:
    """The help of the program and of each command."""
    parts = [f"# Commands\n\n{MADE}\n```text\n{help_of()}```\n"]
    for name, command in main.commands.items():
        parts.append(f"## {name}\n\n```text\n{help_of(name)}```\n")
        for part in getattr(command, "commands", {}):
            parts.append(f"### {name} {part}\n\n```text\n{help_of(name, part)}```\n")
    return "\n".join(parts)


def _quantity_row(quantity: Quantity) -> tuple[str, ...]:
    return (
        quantity.name,
        quantity.symbol,
        quantity.meaning,
        f"`{quantity.unit}`",
        f"`_{quantity.suffix}`" if quantity.suffix else "",
        f"`{quantity.metric}`, {quantity.decimals}",
        f"`{quantity.us}`, {quantity.us_decimals}",
        f"{quantity.low:g} to {quantity.high:g}",
    )


def _kinds() -> Iterator[tuple[str, str]]:
    """Each kind of unit once, in the order of the table of spellings, with all its spellings."""
    left = list(units.SPELLINGS)
    while left:
        same = [text for text in left if units.same_kind(text, left[0])]
        names = [quantity.name for quantity in REGISTER if units.same_kind(quantity.unit, left[0])]
        yield ", ".join(names), ", ".join(_spelled(text) for text in same)
        left = [text for text in left if text not in same]


def _spelled(text: str) -> str:
    implied = units.SPELLINGS[text].implies
    return f"`{text}` (as {implied})" if implied else f"`{text}`"


def nomenclature_page() -> str:
    """The register of quantities and the closed table of units."""
    quantity_head = (
        "quantity", "symbol", "meaning", "core unit", "ends in", "metric, decimals",
        "US, decimals", "plausible [core unit]",
    )  # fmt: skip
    return f"""# Quantities and units

{MADE}
Every figure in a club's files carries its unit, and every unit is written as below: capital and
small letters count. Anything else is a problem, so that nothing is guessed; a bare `gal`, a bare
grain and a bare `ppm` are problems too, because each can mean more than one thing.

## Units

{table(("measures", "spellings"), _kinds())}
No unit turns a mass or an amount into equivalents: that takes chemistry, and is done from the
column `as` of a water test.

## Quantities

Formulas reckon in the core unit; names in the code end as the column "ends in" says.

{table(quantity_head, map(_quantity_row, REGISTER))}"""


def cautions_page() -> str:
    """Every hazard that the pages name, place by place."""
    parts = [_CAUTIONS]
    for place in get_args(Place):
        lines = "".join(f"- {text}\n" for text in cautions_at(place))
        parts.append(f"## {place.capitalize()}\n\n{lines}")
    return "\n".join(parts)


_CAUTIONS = f"""# Cautions

{MADE}
Making ice is work with water, powder, electricity, pressure, cold and heavy things. These are the
usual cautions, each also shown at the step where the hazard is. They remind; they do not train
anybody, they are not complete, and they replace no rule.

**waterkit plans. Local codes, the product's safety data sheet and licensed trades decide.** Where
they say otherwise than this page, they are right.
"""


PAGES = {
    "cautions.md": cautions_page,
    "cli.md": cli_page,
    "column.md": column_page,
    "column.svg": column_drawing,
    "hand-check.md": hand_check_page,
    "keys.md": keys_page,
    "messages.md": messages_page,
    "methods.md": methods_page,
    "nomenclature.md": nomenclature_page,
}


def regenerate() -> None:
    """Write each page that is made from the program."""
    for name, page in PAGES.items():
        (DOCS / name).write_text(page(), "utf-8")
        print(DOCS / name)


if __name__ == "__main__":
    regenerate()
