"""The invented club that comes with waterkit, written out as a folder."""

from importlib import resources
from pathlib import Path

from waterkit.errors import MachineError


def demo_files() -> dict[str, bytes]:
    """The demo's files by name."""
    folder = resources.files("waterkit.club") / "demo"
    files = (file for file in folder.iterdir() if file.name.endswith((".toml", ".csv", ".md")))
    return {file.name: file.read_bytes() for file in sorted(files, key=lambda file: file.name)}


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Write the demo into a folder, made if need be; what is there already is never overwritten.

    Returns the paths written.

    Raises
    ------
    MachineError
        If one of the files is there already, or the folder cannot be written.
    """
    folder = Path(folder)
    files = demo_files()
    taken = [name for name in files if (folder / name).exists()]
    if taken:
        raise MachineError(f"{folder}: {', '.join(taken)} stand there already")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            with (folder / name).open("xb") as file:
                file.write(content)
    except OSError as error:
        raise MachineError(f"{folder}: {error.strerror or error}") from error
    return tuple(folder / name for name in files)
