"""The figures of people who look at pages at once, from times that are known."""

from collections import defaultdict

from tests.torture.crowd import Looked, told


def test_the_figures_are_those_of_all_pages_and_the_slowest_page_is_named_first() -> None:
    looked = Looked(defaultdict(list, {"quick": [0.1] * 95, "slow": [2.0, 3.0, 4.0, 5.0, 6.0]}))

    assert looked.p95_s == 2.0
    assert "100 pages, faults: none" in told(looked, 10, 50)
    assert "medians: slow 4.00, quick 0.10" in told(looked, 10, 50)
    assert "100 ms of processor for a page, 20% of one core" in told(looked, 10, 50)
