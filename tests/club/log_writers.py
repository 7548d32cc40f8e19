"""Processes that write into a log, for tests: they load the log and nothing else."""

import multiprocessing
from multiprocessing.connection import Connection
from pathlib import Path

from waterkit.club.log import append_row

ROW = {"time": "2027-10-02T18:45", "point": "tank", "conductivity": "1.3 uS/cm"}
AT_ONCE = multiprocessing.get_context("forkserver")
AT_ONCE.set_forkserver_preload([__name__])
ROUND = 1_000
"""Rows that one writer would write, were it not killed."""


def write(folder: Path, writer: int, rows: int) -> None:
    """Append rows that name their writer."""
    for row in range(rows):
        values = ROW | {"by": f"w{writer}", "conductivity": f"{row + 1} uS/cm"}
        append_row(folder, "reading", values)


def write_on(folder: Path, start: int, acknowledge: Connection) -> None:
    """Append rows, and tell the number of each once it is on the disk."""
    for number in range(start, start + ROUND):
        append_row(folder, "reading", ROW | {"conductivity": f"{number} uS/cm"})
        acknowledge.send(number)
