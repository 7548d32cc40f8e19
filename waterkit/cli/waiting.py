"""How far a long run is, for somebody who waits at a terminal."""

import sys
from collections.abc import Callable
from time import monotonic

import click

PATIENCE_S = 0.8
"""Who waits no longer than that is told nothing."""


def waiting(clock: Callable[[], float] = monotonic) -> Callable[[float], None]:
    """What tells on stderr which share of a run is done, once it takes long; silent in a pipe."""
    begun, last = clock(), [-1]

    def tell(share: float) -> None:
        percent = round(100 * share)
        if clock() - begun < PATIENCE_S or percent == last[0] or not sys.stderr.isatty():
            return
        last[0] = percent
        click.echo(f"\rRunning the bed of resin: {percent} %", nl=percent == 100, err=True)  # noqa: PLR2004

    return tell
