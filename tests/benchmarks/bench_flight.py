"""How much faster ten thousand feeds fly as a batch than one by one through scipy's solve_ivp, in the same run.

Run it with `uv run python -m tests.benchmarks.bench_flight`. The machine's speed cancels out in the ratio it prints;
the aim is 20 or more.
"""

from time import perf_counter

import numpy as np
from scipy.integrate import solve_ivp

from models.bounce import bounce
from models.coefficients import SET_A
from models.feeds import Feeds
from models.flight import air_acceleration, simulate

BATCH = 10_000
ONE_BY_ONE = 200
RADIUS_M = SET_A.ball_radius_m


def random_feeds(count: int, seed: int) -> Feeds:
    """Feeds as a club plays them: from behind the table to near the net, slow and fast, with every spin."""
    rng = np.random.default_rng(seed)
    return Feeds.of(
        x_cm=rng.uniform(-60, 110, count),
        y_cm=rng.uniform(-76, 76, count),
        height_cm=rng.uniform(10, 50, count),
        speed_mps=rng.uniform(3, 12, count),
        elevation_deg=rng.uniform(-5, 30, count),
        yaw_deg=rng.uniform(-20, 20, count),
        topspin_rps=rng.uniform(-50, 60, count),
        sidespin_rps=rng.uniform(-25, 25, count),
    )


def touches_table(_: float, state: np.ndarray) -> float:
    """Zero where the ball comes down to the table."""
    return state[2] - RADIUS_M


touches_table.terminal, touches_table.direction = True, -1  # type: ignore[attr-defined]


def fall(state: np.ndarray, spin_rad_s: np.ndarray) -> np.ndarray:
    """Place and velocity (6,) where a ball comes down, by DOP853 at a tolerance of 1e-10."""
    acceleration = air_acceleration(SET_A, spin_rad_s)

    def motion(_: float, state: np.ndarray) -> np.ndarray:
        return np.concatenate([state[3:], acceleration(state[3:, None])[:, 0]])

    done = solve_ivp(motion, (0, 3), state, method="DOP853", rtol=1e-10, atol=1e-12, events=touches_table)
    return done.y_events[0][0]


def fly_one_by_one(feeds: Feeds) -> None:
    """Every feed to its second bounce, wherever its first one fell."""
    release, spin_rad_s = feeds.release(), feeds.spin_rad_s()
    for place in range(feeds.x_cm.size):
        spin = spin_rad_s[:, [place]]
        landed = fall(np.concatenate([release.position_m[:, place], release.velocity_mps[:, place]]), spin)
        velocity_mps, spin = bounce(landed[3:, None], spin, SET_A)
        fall(np.concatenate([landed[:3], velocity_mps[:, 0]]), spin)


def seconds_per_feed(fly, feeds: Feeds) -> float:  # type: ignore[no-untyped-def]
    """The best of three runs."""
    best = float("inf")
    for _ in range(3):
        started = perf_counter()
        fly(feeds)
        best = min(best, perf_counter() - started)
    return best / feeds.x_cm.size


def main() -> None:
    """Print both times and their ratio."""
    batched = seconds_per_feed(simulate, random_feeds(BATCH, seed=1))
    alone = seconds_per_feed(fly_one_by_one, random_feeds(ONE_BY_ONE, seed=2))
    print(f"batch of {BATCH}: {1e6 * batched:.1f} us a feed")
    print(f"solve_ivp, {ONE_BY_ONE} feeds: {1e6 * alone:.0f} us a feed")
    print(f"the batch is {alone / batched:.0f} times faster")


if __name__ == "__main__":
    main()
