"""What tests everywhere need: one browser for the whole process, and pages that open at once."""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import hypothesis
import pytest
from filelock import FileLock
from playwright.sync_api import Browser, sync_playwright

from sql.folder import DataFolder

# No test fails because the machine was slow.
hypothesis.settings.register_profile("unhurried", deadline=None)
hypothesis.settings.load_profile("unhurried")

MadeOnce = Callable[[str, Callable[[DataFolder], object]], DataFolder]

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


@pytest.fixture(scope="session", autouse=True)
def _no_search_for_components() -> Iterator[None]:
    """Streamlit's test driver would look through every installed package at each run of a page, for what none has."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("streamlit.components.v2.manifest_scanner.scan_component_manifests", list)
        yield


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> MadeOnce:
    """Makes a club once for all the processes that share the tests, and gives each a copy of its own."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own

    def copied(name: str, make: Callable[[DataFolder], object]) -> DataFolder:
        original = shared / f"club-{name}"
        with FileLock(f"{original}.lock"):
            if not original.exists():
                making = shared / f"club-{name}-in-the-making"
                make(DataFolder(making))
                making.rename(original)
        return DataFolder(Path(shutil.copytree(original, tmp_path_factory.mktemp(name) / "club")))

    return copied


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
