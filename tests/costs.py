"""What a test costs: told at the end of a run of the default tests, so that they stay as short as they have to be.

A whole run keeps how long each file took: the next begins with the longest, else a worker ends long after the others.

Processor time, not time by the clock: a slow or busy machine makes no difference to it, and no test fails for it.
"""

import json
import os
from collections import Counter
from collections.abc import Generator, Mapping

import pytest

from tests import kept

DURATIONS = kept.KEPT / "seconds_by_file.json"

COSTLY_S = 4.0
"""A default test that uses more than this is named."""

_BEGUN = pytest.StashKey[float]()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_setup(item: pytest.Item) -> Generator[None, None, None]:
    """Its fixtures count too, with the test that is the first to ask for them."""
    item.stash[_BEGUN] = _used_s()
    return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, None, None]:
    try:
        return (yield)
    finally:
        item.user_properties.append(("cpu_s", _used_s() - item.stash[_BEGUN]))


def _used_s() -> float:
    """Of this process, and of its children that have ended."""
    return sum(os.times()[:4])


def seconds_by_file() -> Mapping[str, float]:
    """How long the tests of each file took when they ran last, by the path from the root."""
    try:
        took: dict[str, float] = json.loads(DURATIONS.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return took


def _keep_seconds(config: pytest.Config, reports: list[pytest.TestReport]) -> None:
    is_whole = config.args_source is pytest.Config.ArgsSource.TESTPATHS and not config.option.keyword
    if not reports or not is_whole or config.option.markexpr != "not proof":
        return
    took: Counter[str] = Counter()
    for report in reports:
        took[report.nodeid.partition("::")[0]] += report.duration
    DURATIONS.parent.mkdir(exist_ok=True)
    DURATIONS.write_text(json.dumps(took), "utf-8")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    _keep_seconds(terminalreporter.config, terminalreporter.getreports("passed"))
    costs = [
        (dict(report.user_properties)["cpu_s"], report.nodeid)
        for report in terminalreporter.getreports("passed")
        if report.when == "call" and "proof" not in report.keywords
    ]
    costly = sorted((cost for cost in costs if cost[0] > COSTLY_S), reverse=True)
    if costly:
        terminalreporter.section(f"more than {COSTLY_S:.0f} s of processor time: see DEVELOPERS.md, Tests")
        for used_s, name in costly:
            terminalreporter.write_line(f"{used_s:.1f} s  {name}")
