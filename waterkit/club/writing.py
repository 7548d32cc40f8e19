"""A club written out as a folder: the inverse of the reader, derived from the same records.

Quantities are written in core units, so that each number is read back as it was. Ranges, basis and
remarks come from the club's figures; what the club took as a default is left out again.
"""

from collections.abc import Collection, Mapping
from pathlib import Path

from waterkit.club.club_file import CLUB_FILE
from waterkit.club.csv_files import readings_csv, table_csv, tests_csv
from waterkit.club.pen import NO_COMMENTS, PLAIN, Pen
from waterkit.club.reading import TABLES
from waterkit.club.readings import READINGS_FILE
from waterkit.club.schema import Club
from waterkit.club.toml_files import club_toml, scenario_toml
from waterkit.club.water_tests import TESTS_FILE
from waterkit.errors import MachineError
from waterkit.working import Basis


def write_club(
    club: Club, folder: Path, comments: Mapping[str, str] = NO_COMMENTS, unlisted: Basis = PLAIN
) -> tuple[Path, ...]:
    """Write a club into a folder, made if need be; what is there already is never overwritten.

    Files that a scenario reads instead of others are no part of the club; they have to be copied.

    Parameters
    ----------
    club : Club
        The club.
    folder : Path
        Where to.
    comments : mapping of str to str
        What to write above a key of club.toml, ``rink.sheets``, ``train.di.flow``, ``meter.name``,
        or above a table, ``rink``. A key without a value that has a comment is written as a
        comment, so that somebody can fill it in.
    unlisted : str
        Whose the figures are that ``club.figures`` does not list.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    MachineError
        If one of the files is there already, or the folder cannot be written.
    """
    return write_files(folder, club_files(club, comments, unlisted))


def club_files(
    club: Club, comments: Mapping[str, str] = NO_COMMENTS, unlisted: Basis = PLAIN
) -> dict[str, str]:
    """The files of a club by name."""
    pen = Pen({figure.path: figure for figure in club.figures}, comments, unlisted)
    files = {CLUB_FILE: club_toml(club, pen), TESTS_FILE: tests_csv(club.samples, pen)}
    for name, record in TABLES.items():
        if rows := getattr(club, name):
            files[f"{name}.csv"] = table_csv(f"{name}.csv", record, rows, pen)
    if club.readings is not None:
        files[READINGS_FILE] = readings_csv(club.readings)
    return files | {scenario.file: scenario_toml(scenario) for scenario in club.scenarios}


def write_files(
    folder: Path, files: Mapping[str, str | bytes], yielding: Collection[str] = ()
) -> tuple[Path, ...]:
    """Write files into a folder, all of them or none; ``yielding`` ones only where none is.

    Raises
    ------
    MachineError
        If one of the files is there already, or the folder cannot be written.
    """
    paths = {
        Path(folder) / name: content if isinstance(content, bytes) else content.encode()
        for name, content in files.items()
        if name not in yielding or not (Path(folder) / name).exists()
    }
    taken = [path.name for path in paths if path.exists()]
    if taken:
        raise MachineError(f"{folder}: {', '.join(taken)} stand there already")
    written: list[Path] = []
    try:
        for path, data in paths.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("xb") as file:
                written.append(path)
                file.write(data)
    except OSError as error:
        for path in written:
            path.unlink(missing_ok=True)
        raise MachineError(f"{folder}: {error.strerror or error}") from error
    return tuple(written)
