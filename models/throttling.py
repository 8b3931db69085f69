"""How long whoever guesses passwords has to wait: a lock for the name, a growing delay for the address.

The figures are choices of this house: no standard sets them.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

REMEMBERED_FOR = timedelta(minutes=15)
MOST_FAILURES_OF_NAME = 10
"""So many failures within the time remembered lock a name until the oldest is forgotten."""
FREE_FAILURES_OF_ADDRESS = 5
"""After so many an address waits: 2 s, then twice as long each time."""
LONGEST_DELAY_S = 300


def locked_s(failed_at: Sequence[datetime], now: datetime) -> int:
    """Seconds for which a name that failed at these instants, the earliest first, stays locked; 0 where it is not."""
    if len(failed_at) < MOST_FAILURES_OF_NAME:
        return 0
    return _left_s(failed_at[-MOST_FAILURES_OF_NAME] + REMEMBERED_FOR, now)


def delayed_s(failed_at: Sequence[datetime], now: datetime) -> int:
    """Seconds that an address which failed at these instants, the earliest first, has to wait; 0 where it has not."""
    beyond = len(failed_at) - FREE_FAILURES_OF_ADDRESS
    if beyond < 0:
        return 0
    return _left_s(failed_at[-1] + timedelta(seconds=min(2.0 ** min(beyond + 1, 20), LONGEST_DELAY_S)), now)


def _left_s(until: datetime, now: datetime) -> int:
    left_s = (until - now).total_seconds()
    return max(0, int(left_s) + (left_s > 0))
