"""What a feeder's own dials give, as its noted landings tell it, and a change of speed in steps of its dial."""

from collections.abc import Sequence

from dashboard.rows.feeding import DialRow, FeederRow
from dashboard.words.phrases import balls, day
from dashboard.words.setup_moved import number
from models.dial_advice import DialChange, Lines, dial_change, mark_before, spin_mark
from models.estimates import ranges_over_sets, values_over_sets
from models.moved_ball import Way
from models.tally import tally

UNITS = {"speed": ("m/s", 2), "spin": ("turns a second", 0)}
"""What a dial changes: its unit, and the decimals that are worth showing."""

VERDICTS = {
    "straight": "the dial is straight as far as the balls tell",
    "bends": "the dial bends: a straight line is too simple, so trust it only near the settings that were noted",
    "not_clear": "the balls do not tell yet what a mark does; note more, or at settings further apart",
    "too_few": "too few balls, or all at one setting",
    "not_explained": "too many of these landings fit no ball: check the height of release, the tilt and the notes",
}


def dials_for(speed: Lines, spin: Lines, way: Way, topspin_rps: float) -> tuple[list[str], list[str]]:
    """Where the calibrated dials go for a ball: `speed dial 3.2`; then which of these are guesses."""
    marks = [("speed", speed, mark_before(speed, way)), ("spin", spin, spin_mark(spin, topspin_rps))]
    known = [(dial, next(iter(lines.values())), mark) for dial, lines, mark in marks if mark is not None]
    guesses = [
        f"The mark of the {dial} dial is a guess: landings were noted at {line.lowest_dial:g} to {line.highest_dial:g}."
        for dial, line, mark in known
        if not line.covers(mark)
    ]
    return [f"{dial} dial {mark:.1f}" for dial, _, mark in known], guesses


def dial_sentences(feeder: FeederRow, lines: Lines, way: Way, mark: float) -> list[str]:
    """The change of speed on the feeder's own dial, and where that is a guess."""
    change = dial_change(lines, way, mark)
    if change is None:
        return []
    if change.is_slight:
        return ["On its speed dial that is less than a tenth of a mark: leave it."]
    upwards = "up" if change.marks > 0 else "down"
    sentence = f"**On its speed dial: {upwards} by {abs(change.marks):.1f}, from {mark:g} to {change.after:.1f}**"
    return [f"{sentence}{_range(change)}.", *_warnings(feeder, lines, change)]


def _range(change: DialChange) -> str:
    """The range over sets and balls, where there is one and it shows."""
    if change.leaves_open:
        return " (its balls leave open whether it is more or less)"
    if change.size is None:
        return ""
    least, most = f"{change.size.low:.1f}", f"{change.size.high:.1f}"
    return f" (range {least} to {most})" if least != most else ""


def _warnings(feeder: FeederRow, lines: Lines, change: DialChange) -> list[str]:
    lowest, highest = feeder.speed_dial_lowest, feeder.speed_dial_highest
    if not lowest <= change.after <= highest:
        return [f"Its dial goes from {lowest:g} to {highest:g} only: choose another ball, or another place."]
    line = next(iter(lines.values()))
    if not (line.covers(change.before) and line.covers(change.after)):
        basis = f"{line.lowest_dial:g} to {line.highest_dial:g}"
        return [f"Landings were noted at settings {basis} only; beyond them this is a guess."]
    return []


def what_a_mark_does(dial: str, rows: Sequence[DialRow]) -> str:
    """What one mark of a dial adds, over the sets of coefficients, and what is known of it."""
    first = rows[0]
    basis = f"{balls(first.balls)} at {first.settings} settings"
    if first.noted_to is not None:
        basis += f", the last on {day(first.noted_to, first.noted_to)} {first.noted_to.year}"
    verdict = next(iter(tally(VERDICTS[row.verdict] for row in rows)))
    known = [row.step for row in rows if row.is_known and row.step is not None]
    if not known:
        return f"**The {dial} dial is not calibrated**: {verdict} ({basis})."
    sentence = f"**One mark of the {dial} dial is {number(values_over_sets(known), *UNITS[dial])}**"
    return f"{sentence} (range {number(ranges_over_sets(known), *UNITS[dial])}): {verdict} ({basis})."
