"""How long whoever guesses passwords has to wait: a delay that grows with each failure, for each of several keys.

The instants are those of a monotonic clock, in seconds: setting the clock of the machine makes nobody wait. The figures
are choices of this house: no standard sets them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

REMEMBERED_FOR_S = 15 * 60


@dataclass(frozen=True)
class Patience:
    """So many failures within the time remembered cost nothing; then one waits 2 s, and twice as long each time."""

    free_failures: int
    longest_s: float


OF_NAME_FROM_ADDRESS = Patience(5, 300)
"""Somebody who guesses the password of one person from one place."""
OF_ADDRESS = Patience(30, 300)
"""Somebody who tries many names from one place. More than for one name: a whole hall may share an address."""
OF_NAME = Patience(50, 30)
"""Somebody who guesses from many places. Short: it holds up the person too, in a browser that was never signed in."""
OF_KNOWN_BROWSER = Patience(5, 300)
"""A browser in which this person was signed in before: what others try elsewhere is not held against it."""
OF_ONLY_COORDINATOR = Patience(5, 10)
"""Nobody else could help this one in again: slowed down, and never for long."""


def wait_s(failed_at_s: Sequence[float], now_s: float, patience: Patience) -> int:
    """Seconds to wait for whoever failed at these instants, the earliest first; never more than the delay itself."""
    beyond = len(failed_at_s) - patience.free_failures
    if beyond < 0:
        return 0
    delay_s = min(2.0 ** min(beyond + 1, 20), patience.longest_s)
    return ceil(min(max(failed_at_s[-1] + delay_s - now_s, 0.0), delay_s))
