"""What tests everywhere need: a guard, clubs that are made once, pages that are not searched, browsers open at once.

What takes time to import is imported by whoever asks for it, so that a file of pure tests begins at once.
"""

import os
import shutil
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import hypothesis
import pytest

from tests import guard, kept
from tests.costs import (  # noqa: F401
    pytest_runtest_call,
    pytest_runtest_setup,
    pytest_terminal_summary,
    seconds_by_file,
)
from tests.proofs import RUNS_PROOF, examples

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

    from sql.folder import DataFolder

kept.keep_compiled()


def pytest_configure(config: pytest.Config) -> None:
    """No test fails because the machine was slow; a property test takes few examples, and many in the proof."""
    if config.option.markexpr == "proof":
        os.environ[RUNS_PROOF] = "yes"
    hypothesis.settings.register_profile("unhurried", deadline=None, max_examples=examples(30, 200))
    hypothesis.settings.load_profile("unhurried")


OpenBrowser = Callable[..., "BrowserContext"]

PATIENCE_MS = 60_000


class MadeOnce(Protocol):
    """Gives a copy of its own to everybody who asks for a club; it is made once, in this run or, kept, in any."""

    def __call__(
        self, name: str, make: Callable[["DataFolder"], object], *, made_of: Sequence[str] = ()
    ) -> "DataFolder": ...


BROWSER_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The files that took longest go first, so that no worker ends long after the others; new ones before them."""
    for item in items:
        if os.environ.get(RUNS_PROOF) and getattr(getattr(item, "obj", None), "is_hypothesis_test", False):
            item.add_marker(pytest.mark.proof)
    took, known = seconds_by_file(), {item.path: item.nodeid.partition("::")[0] for item in items}
    waiting = {item.path for item in items if "torture" in item.path.parts or item.get_closest_marker("browser")}
    usual = {path: -took.get(name, 1000.0 if path in waiting else 100.0) for path, name in known.items()}
    items.sort(key=lambda item: (usual[item.path], item.path))


def pytest_xdist_auto_num_workers() -> int:
    """One more than there are cores: some tests wait, for a browser or a network that is cut."""
    return (os.cpu_count() or 1) + 1


@pytest.fixture(scope="session", autouse=True)
def _guarded(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Tests may turn to loopback only, and to clubs in folders that were made for them."""
    guard.watch(_shared_by_all(tmp_path_factory), kept.KEPT)


@pytest.fixture(autouse=True)
def _nothing_forbidden_is_tried() -> Iterator[None]:
    """Not in a thread either, nor where the guard's exception went unnoticed."""
    yield
    assert guard.caught() == []


def _shared_by_all(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder in which all the processes that share the tests have theirs."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session", autouse=True)
def _pages_as_they_are_served() -> Iterator[None]:
    """Streamlit's test driver would search each page for bare values to show, and every package for parts of pages."""
    if "streamlit" not in sys.modules:
        yield
        return
    import streamlit

    from dashboard.serving import CONFIG

    streamlit.config.set_option("runner.magicEnabled", CONFIG["runner.magicEnabled"])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("streamlit.components.v2.manifest_scanner.scan_component_manifests", list)
        yield


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> MadeOnce:
    """Makes a club once for all the processes that share the tests, and gives each a copy of its own.

    Where it is said what the club is made of, it is kept between runs, for as long as nothing of that changes.
    """
    from sql.folder import DataFolder

    def copied(name: str, make: Callable[[DataFolder], object], *, made_of: Sequence[str] = ()) -> DataFolder:
        place = kept.kept_place(made_of) if made_of else _shared_by_all(tmp_path_factory)
        original = kept.made_once(place, f"club-{name}", lambda draft: make(DataFolder(draft)))
        return DataFolder(Path(shutil.copytree(original, tmp_path_factory.mktemp(name) / "club")))

    return copied


@pytest.fixture(scope="session")
def chromium() -> Iterator["Browser"]:
    """A real browser; where none is installed, the tests that need it are skipped."""
    executable = shutil.which("chromium")
    if executable is None:
        told = "no chromium on this machine: what only a real browser shows is not tested here"
        if os.environ.get("HALFLONG_BROWSER") == "required":
            pytest.fail(told)
        pytest.skip(told)
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=PATIENCE_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable, args=BROWSER_FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def _emptied_browsers() -> dict[str, list["BrowserContext"]]:
    return defaultdict(list)


@pytest.fixture
def open_browser(chromium: "Browser", _emptied_browsers: dict[str, list["BrowserContext"]]) -> Iterator[OpenBrowser]:
    """Opens a browser of its own, in which nothing of anybody is left.

    It may have been used before: then it has the scripts of Streamlit already, which take a new one seconds to read.
    """
    given: list[tuple[str, BrowserContext]] = []

    def opened(**options: Any) -> "BrowserContext":
        kind = repr(sorted(options.items()))
        context = _emptied_browsers[kind].pop() if _emptied_browsers[kind] else chromium.new_context(**options)
        context.set_default_timeout(PATIENCE_MS)
        given.append((kind, context))
        return context

    yield opened
    for kind, context in given:
        _empty(context)
        _emptied_browsers[kind].append(context)


def _empty(context: "BrowserContext") -> None:
    context.unroute_all()
    first, *others = context.pages or [context.new_page()]
    for page in others:
        page.close()
    first.goto("about:blank")  # Left open, for what a browser has read of a script goes with its last page.
    everything = {"origin": "*", "storageTypes": "all"}
    context.new_cdp_session(first).send("Storage.clearDataForOrigin", everything)
    context.clear_cookies()
