"""Bytes onto the disk so that none is lost: one writer at a time, whole rows, synced.

Whoever appends holds the lock of the file; the lock file beside it, ``.readings.csv.lock``, stays,
because taking it away would let two writers in. What is acknowledged is on the disk.
"""

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from filelock import FileLock, Timeout

from waterkit.errors import MachineError

PATIENCE_S = 60.0
"""How long to wait while another program writes to the same file."""
_BINARY = getattr(os, "O_BINARY", 0)
_WRITABLE = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH


@contextlib.contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold the lock of a file that may not be there yet.

    Raises
    ------
    MachineError
        If another program keeps it locked, or no lock can be made.
    """
    lock = FileLock(path.with_name(f".{path.name}.lock"), PATIENCE_S)
    try:
        lock.acquire()
    except Timeout as error:
        message = f"{path}: another program has been writing to it for {PATIENCE_S:g} s; try again"
        raise MachineError(message) from error
    except OSError as error:
        raise MachineError(f"{path}: cannot be locked: {error.strerror or error}") from error
    try:
        yield
    finally:
        lock.release()


def bytes_of(path: Path) -> bytes:
    """What a file holds; nothing where there is none."""
    if path.exists() and not path.is_file():
        raise MachineError(f"{path}: is no file")
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return b""
    except OSError as error:
        raise MachineError(f"{path}: {error.strerror or error}") from error


def append_bytes(path: Path, rows: bytes, end: int) -> None:
    """Put whole rows at the end of a file in one piece, and return once the disk has them.

    ``end`` is where the file ends, or is to end: what stands behind it is half a letter that a
    crash has left. Should anything go wrong, the file ends there again.

    Raises
    ------
    MachineError
        If the machine refuses; nothing is half written.
    """
    created = not path.exists()
    try:
        file = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT | _BINARY, 0o666)
    except OSError as error:
        raise MachineError(f"{path}: {error.strerror or error}") from error
    try:
        _append(file, rows, end)
    except OSError as error:
        with contextlib.suppress(OSError):
            os.ftruncate(file, end)
        if created:
            path.unlink(missing_ok=True)
        raise MachineError(f"{path}: {error.strerror or error}") from error
    finally:
        os.close(file)
    if end == 0:
        _sync_folder(path.parent)  # its name may be as new as its rows


def take_back(path: Path, end: int) -> None:
    """Let a file end where it ended before rows were appended; one that was not there goes.

    Raises
    ------
    MachineError
        If the machine refuses: the rows then stay.
    """
    try:
        if end:
            os.truncate(path, end)
        else:
            path.unlink(missing_ok=True)
    except OSError as error:
        raise MachineError(f"{path}: its new rows stay: {error.strerror or error}") from error


def _append(file: int, rows: bytes, end: int) -> None:
    if os.fstat(file).st_size > end:
        os.ftruncate(file, end)
    if os.write(file, rows) < len(rows):
        raise OSError(None, "the disk took only a part of the rows")
    os.fsync(file)


def replace_bytes(path: Path, data: bytes) -> None:
    """Put other bytes in the place of a file: written aside, synced, then renamed.

    Raises
    ------
    MachineError
        If the machine refuses; the file is then as it was.
    """
    path = path.resolve()
    aside = path.with_name(f".{path.name}.new")
    try:
        if not (path.stat().st_mode & _WRITABLE and os.access(path, os.W_OK)):
            raise PermissionError(None, "the file is not to be written to")
        with aside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        aside.chmod(path.stat().st_mode)
        aside.replace(path)
    except OSError as error:
        aside.unlink(missing_ok=True)
        raise MachineError(f"{path}: {error.strerror or error}") from error
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Have the disk keep a new name, where folders can be synced."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
