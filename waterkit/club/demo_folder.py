"""The invented club that comes with waterkit, written out as a folder."""

from importlib import resources
from pathlib import Path


def demo_files() -> dict[str, bytes]:
    """The demo's files by name."""
    folder = resources.files("waterkit.club") / "demo"
    files = (file for file in folder.iterdir() if file.name.endswith((".toml", ".csv", ".md")))
    return {file.name: file.read_bytes() for file in sorted(files, key=lambda file: file.name)}


def write_demo(folder: Path) -> tuple[Path, ...]:
    """Write the demo into a folder, made if need be; what is there already is never overwritten.

    A README.md that is there already stays, and none is written. Returns the paths written.

    Raises
    ------
    MachineError
        If one of the files is there already, or the folder cannot be written.
    """
    from waterkit.club.writing import write_files

    return write_files(folder, demo_files(), ("README.md",))
