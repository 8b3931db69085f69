"""What every test in a real browser needs: one browser for the whole process."""

import os
import shutil
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, sync_playwright

BROWSER_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """A real browser; where none is installed, the tests that need it are skipped."""
    executable = shutil.which("chromium")
    if executable is None:
        told = "no chromium on this machine: what only a real browser shows is not tested here"
        if os.environ.get("HALFLONG_BROWSER") == "required":
            pytest.fail(told)
        pytest.skip(told)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, args=BROWSER_FLAGS)
        yield browser
        browser.close()
