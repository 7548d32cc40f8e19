"""What the made pages share."""

from collections.abc import Iterable

MADE = "<!-- Made by `python -m docs.regenerate`: change the program, not this page. -->\n"


def table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    """A Markdown table."""
    lines = [head, tuple("---" for _ in head), *rows]
    return "".join(
        "| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |\n" for line in lines
    )
