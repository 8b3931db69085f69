"""How much somebody may ask for at once, and how fast it grows again. Pure: the time is given."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Rate:
    """So many at once, and so many a second from then on."""

    burst: float
    per_s: float


@dataclass
class Allowance:
    """What is left of a rate to one who asks; times are those of one monotonic clock, in seconds."""

    rate: Rate
    at_s: float
    left: float = field(init=False)

    def __post_init__(self) -> None:
        self.left = self.rate.burst

    def take(self, now_s: float) -> float:
        """Take one; how many seconds to wait until it is there. It is owed at once, so that waiting takes turns."""
        self._grow(now_s)
        self.left -= 1
        return max(0.0, -self.left / self.rate.per_s)

    def take_if_there(self, now_s: float) -> bool:
        """Take one if there is one."""
        self._grow(now_s)
        if self.left < 1:
            return False
        self.left -= 1
        return True

    def give_back(self, count: int) -> None:
        """So many that were taken were not needed after all."""
        self.left += count

    def is_whole(self, now_s: float) -> bool:
        """Nothing of it is missing: it can be forgotten, for a new one is the same."""
        self._grow(now_s)
        return self.left >= self.rate.burst

    def _grow(self, now_s: float) -> None:
        self.left = min(self.rate.burst, self.left + (now_s - self.at_s) * self.rate.per_s)
        self.at_s = now_s


class Allowances:
    """One allowance for each who asks. Whole ones are dropped, so that many who ask once fill no memory."""

    MOST_KEPT = 1000

    def __init__(self, rate: Rate) -> None:
        self._rate = rate
        self._of: dict[object, Allowance] = {}

    def of(self, who: object, now_s: float) -> Allowance:
        """The allowance of this one."""
        if who not in self._of:
            if len(self._of) >= self.MOST_KEPT:
                self._of = {one: left for one, left in self._of.items() if not left.is_whole(now_s)}
            self._of[who] = Allowance(self._rate, now_s)
        return self._of[who]
