"""What every test may use: the places of the project, the browser, and a fresh interpreter."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ROOT = Path(__file__).parent.parent
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.register_profile("search", deadline=None)
settings.load_profile("repeatable")
"""The same cases in every run; ``pytest --hypothesis-profile=search`` looks for new ones."""

BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the project."""
    return ROOT


@pytest.fixture(scope="session")
def demo_folder() -> Path:
    """The invented club, as it stands in the project."""
    return ROOT / "data" / "demo-club"


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    """A chromium without a window; the test is skipped where there is none.

    With ``WATERKIT_BROWSER=required`` in the environment a missing browser fails instead.
    """
    path = next(filter(None, map(shutil.which, BROWSERS)), None)
    if path is None:
        message = f"no browser: none of {', '.join(BROWSERS)} is on the path"
        if os.environ.get("WATERKIT_BROWSER") == "required":
            pytest.fail(message)
        pytest.skip(message)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield chromium
        chromium.close()


FreshPython = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture(scope="session")
def fresh_python() -> FreshPython:
    """Runs code with arguments in a fresh interpreter, warnings as errors, and waits for it."""

    def run(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-W", "error", "-c", code, *arguments]
        return subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120
        )

    return run
