"""What people read: pages, charts, and the words that page, terminal and JSON share."""

from pathlib import Path
from typing import TYPE_CHECKING

from waterkit.errors import MachineError

if TYPE_CHECKING:
    from waterkit.plan import SeasonPlan


def write_pages(plan: "SeasonPlan", folder: Path, workings: bool = False) -> list[Path]:
    """Write every page of a plan into a folder, made if need be, and return the files written.

    Each file is written beside its place and then moved there, so that none is half written.
    With ``workings`` what is folded on the pages stands open, so that it is printed too.

    Raises
    ------
    MachineError
        If the machine refuses: disk full, no permission, a file where the folder should be.
    """
    from waterkit.pages.html import render

    pages = render(plan, workings)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return [_put(folder / name, text) for name, text in pages.items()]
    except OSError as error:
        reason = error.strerror or str(error)
        raise MachineError(f"cannot write the pages to {folder}: {reason}") from error


def _put(path: Path, text: str) -> Path:
    beside = path.with_name(f".{path.name}.part")
    try:
        beside.write_text(text, encoding="utf-8", newline="\n")
        beside.replace(path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise
    return path
