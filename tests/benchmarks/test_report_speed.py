"""How long every page of the demo takes, against importing the libraries that make them.

Both are timed in fresh interpreters, in turn, in one run; the quickest of each counts, so that
what else the machine does at the time falls out.
"""

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
MOST = 3.0
ROUNDS = 5

REPORT = """
import json, sys
from waterkit.cli import main
try:
    main(["report", *sys.argv[1:]], prog_name="waterkit")
except SystemExit as stop:
    assert not stop.code
print(json.dumps([name for name in sys.modules if not name.startswith("waterkit")]))
"""

IMPORTS = """
import contextlib, importlib, json, sys
for name in json.loads(sys.stdin.read()):
    with contextlib.suppress(Exception):
        importlib.import_module(name)
"""


def _timed(code: str, *arguments: str, given: str = "") -> tuple[float, str]:
    """Seconds that a fresh interpreter takes, and what it printed."""
    begun = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=ROOT, input=given, capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    return time.perf_counter() - begun, done.stdout


def test_the_report_takes_no_longer_than_three_times_its_imports(
    demo_folder: Path, tmp_path: Path
) -> None:
    arguments = (str(demo_folder), "-o", str(tmp_path / "pages"), "--as-of", "2027-08-15")
    _, printed = _timed(REPORT, *arguments)
    names = printed.splitlines()[-1]
    assert {"babel", "jinja2", "matplotlib", "numpy", "pandas", "pint"} <= set(json.loads(names))
    reports, imports = [], []
    for _ in range(ROUNDS):
        reports.append(_timed(REPORT, *arguments)[0])
        imports.append(_timed(IMPORTS, given=names)[0])
    ratio = min(reports) / min(imports)
    assert ratio <= MOST, f"report {min(reports):.2f} s, imports {min(imports):.2f} s"
