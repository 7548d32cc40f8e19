"""Who waits is told how far a run is; a pipe is told nothing."""

import sys
from collections.abc import Iterator

import pytest

from waterkit.cli.waiting import waiting


def clock(*times: float) -> "Iterator[float]":
    return iter(times)


def test_a_long_run_is_told_at_a_terminal(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    times = clock(0.0, 0.1, 2.0, 2.1, 3.0)
    tell = waiting(lambda: next(times))
    for share in (0.1, 0.5, 0.501, 1.0):
        tell(share)
    told = capsys.readouterr().err
    assert told == "\rRunning the bed of resin: 50 %\rRunning the bed of resin: 100 %\n"


def test_a_pipe_is_told_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    times = clock(0.0, 9.0)
    waiting(lambda: next(times))(0.5)
    assert capsys.readouterr().err == ""
