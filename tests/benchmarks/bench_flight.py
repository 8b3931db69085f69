"""How much faster ten thousand feeds fly as a batch than one by one through scipy's solve_ivp, in the same run.

Run it with `uv run python -m tests.benchmarks.bench_flight`. The machine's speed cancels out in the ratio it prints;
the aim is 20 or more.
"""

from collections.abc import Callable
from time import perf_counter

from models.feeds import Feeds
from models.flight import simulate
from tests.models.flight_by_scipy import LAWS, by_scipy, random_feeds

BATCH = 10_000
ONE_BY_ONE = 200


def seconds_per_feed(fly: Callable[[], object], feeds: int) -> float:
    """The best of three runs."""
    runs = []
    for _ in range(3):
        started = perf_counter()
        fly()
        runs.append(perf_counter() - started)
    return min(runs) / feeds


def main() -> None:
    """Print both times and their ratio."""
    batch = Feeds.of(**random_feeds(BATCH, seed=1))
    columns = random_feeds(ONE_BY_ONE, seed=2)
    singles = [{name: column[place] for name, column in columns.items()} for place in range(ONE_BY_ONE)]

    batched = seconds_per_feed(lambda: simulate(batch), BATCH)
    alone = seconds_per_feed(lambda: [by_scipy(single, LAWS["A"]) for single in singles], ONE_BY_ONE)

    print(f"batch of {BATCH}: {1e6 * batched:.1f} us a feed")
    print(f"solve_ivp, {ONE_BY_ONE} feeds one by one: {1e6 * alone:.0f} us a feed")
    print(f"the batch is {alone / batched:.0f} times faster")


if __name__ == "__main__":
    main()
