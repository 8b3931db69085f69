"""A change of speed in marks of a feeder's own speed dial, over the sets of coefficients that have a line for it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isnan
from statistics import fmean

from models.dial import DialLine
from models.estimates import Estimate, Span
from models.moved_ball import Way

Lines = Mapping[str, DialLine]
"""The lines of one dial by set of coefficients."""

LEAST_MARKS = 0.05
"""Nobody sets a dial more closely."""


@dataclass(frozen=True)
class DialChange:
    """From which mark, by how many marks, and the range of that over sets and balls (None: too few balls for one)."""

    before: float
    marks: float
    range: Span | None

    @property
    def after(self) -> float:
        """The mark to which the dial goes."""
        return self.before + self.marks

    @property
    def is_slight(self) -> bool:
        """Less than anybody can set."""
        return abs(self.marks) < LEAST_MARKS

    @property
    def size(self) -> Span | None:
        """The range without the way; None where there is none, or where it leaves open which way."""
        if self.range is None or self.leaves_open:
            return None
        return self.range.size

    @property
    def leaves_open(self) -> bool:
        """Whether it may as well be more as less."""
        return self.range is not None and self.range.low * self.range.high <= 0


def mark_before(lines: Lines, before: Way) -> float | None:
    """Where the speed dial should have stood for the ball before the move; None where no line has it."""
    marks = [lines[each.coefficients].dial_for(each.speed_mps) for each in before.played if each.coefficients in lines]
    return fmean(marks) if marks else None


def spin_mark(lines: Lines, topspin_rps: float) -> float | None:
    """Where the spin dial should stand for a spin (turns a second); None where it is not calibrated."""
    marks = [line.dial_for(topspin_rps) for line in lines.values() if line.tells_steps]
    return fmean(marks) if marks else None


def dial_change(lines: Lines, way: Way, mark: float) -> DialChange | None:
    """How to change the speed dial from where it stands; None where no set that has the ball has a line."""
    found = [
        lines[each.coefficients].steps_for(each.speed_percent, mark)
        for each in way.played
        if each.coefficients in lines
    ]
    return DialChange(mark, fmean(each.value for each in found), _range(found)) if found else None


def _range(found: Iterable[Estimate]) -> Span | None:
    ends = [end for each in found for end in (each.low, each.high) if not isnan(end)]
    return Span(min(ends), max(ends)) if ends else None
