"""What a feeder's own dials give, as its noted landings tell it, and a change of speed in steps of its dial."""

from collections.abc import Mapping, Sequence
from math import isnan
from statistics import fmean
from typing import Any

from dashboard.words.phrases import balls, day
from dashboard.words.setup_moved import number
from models.dial import DialLine
from models.estimates import Estimate
from models.moved_ball import Span, Way

Row = Mapping[str, Any]
Lines = Mapping[str, DialLine]
"""The lines of one dial by set of coefficients."""

LEAST_MARKS = 0.05
"""Nobody sets a dial more closely."""

UNITS = {"speed": ("m/s", 2), "spin": ("turns a second", 0)}
"""What a dial changes: its unit, and the decimals that are worth showing."""

VERDICTS = {
    "straight": "the dial is straight as far as the balls tell",
    "bends": "the dial bends: a straight line is too simple, so trust it only near the settings that were noted",
    "not_clear": "the balls do not tell yet what a mark does; note more, or at settings further apart",
    "too_few": "too few balls, or all at one setting",
    "not_explained": "too many of these landings fit no ball: check the height of release, the tilt and the notes",
}


def mark_before(lines: Lines, before: Way) -> float | None:
    """Where the speed dial should have stood for the ball before the move; None where no line has it."""
    marks = [lines[each.coefficients].dial_for(each.speed_mps) for each in before.played if each.coefficients in lines]
    return fmean(marks) if marks else None


def steps(lines: Lines, way: Way, mark: float) -> list[Estimate]:
    """By how many marks to change the speed dial from where it stands, by each set that has a line, with its range."""
    return [
        lines[each.coefficients].steps_for(each.speed_percent, mark)
        for each in way.played
        if each.coefficients in lines
    ]


def dial_sentences(feeder: Row, lines: Lines, way: Way, mark: float) -> list[str]:
    """The change of speed on the feeder's own dial, and where that is a guess."""
    found = steps(lines, way, mark)
    if not found:
        return []
    marks = fmean(each.value for each in found)
    if abs(marks) < LEAST_MARKS:
        return ["On its speed dial that is less than a tenth of a mark: leave it."]
    upwards = "up" if marks > 0 else "down"
    told = f"**On its speed dial: {upwards} by {abs(marks):.1f}, from {mark:g} to {mark + marks:.1f}**"
    return [f"{told}{_range(found)}.", *_warnings(feeder, lines, mark, mark + marks)]


def _range(found: Sequence[Estimate]) -> str:
    """The range over sets and balls, where there is one and it shows."""
    ends = [end for each in found for end in (each.low, each.high) if not isnan(end)]
    if not ends or min(ends) * max(ends) <= 0:
        return " (its balls leave open whether it is more or less)" if ends else ""
    least, most = (f"{end:.1f}" for end in sorted((abs(min(ends)), abs(max(ends)))))
    return f" (range {least} to {most})" if least != most else ""


def _warnings(feeder: Row, lines: Lines, before: float, after: float) -> list[str]:
    lowest, highest = feeder["speed_dial_lowest"], feeder["speed_dial_highest"]
    if not lowest <= after <= highest:
        return [f"Its dial goes from {lowest:g} to {highest:g} only: choose another ball, or another place."]
    line = next(iter(lines.values()))
    if not (line.covers(before) and line.covers(after)):
        noted = f"{line.lowest_dial:g} to {line.highest_dial:g}"
        return [f"Landings were noted at settings {noted} only; beyond them this is a guess."]
    return []


def what_a_mark_does(dial: str, rows: Sequence[Row]) -> str:
    """What one mark of a dial adds, over the sets of coefficients, and what is known of it."""
    first = rows[0]
    noted = f"{balls(first['balls'])} at {first['settings']} settings"
    if first["noted_to"] is not None:
        noted += f", the last on {day(first['noted_to'], first['noted_to'])} {first['noted_to'].year}"
    verdicts = [VERDICTS[row["verdict"]] for row in rows]
    verdict = max(verdicts, key=verdicts.count)
    known = [row for row in rows if row["verdict"] in ("straight", "bends")]
    if not known:
        return f"**The {dial} dial is not calibrated**: {verdict} ({noted})."
    slope = Span(min(row["slope"] for row in known), max(row["slope"] for row in known))
    sure = Span(min(row["slope_low"] for row in known), max(row["slope_high"] for row in known))
    told = f"**One mark of the {dial} dial is {number(slope, *UNITS[dial])}**"
    return f"{told} (range {number(sure, *UNITS[dial])}): {verdict} ({noted})."
