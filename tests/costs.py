"""What a test costs: told at the end of a run of the default tests, so that they stay as short as they have to be.

Processor time, not time by the clock: a slow or busy machine makes no difference to it, and no test fails for it.
"""

import os
from collections.abc import Generator

import pytest

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


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
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
