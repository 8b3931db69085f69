"""What is said where refused lines are corrected: what was read, what will happen, and how it is undone."""

from ingest.correcting import Corrections, Judged

REASONS = ("a total, not a log", "said on another line already", "not of this club")
"""Reasons that are proposed for leaving a line out for good; any other can be typed."""
WHAT_WAITS = "Refused lines are kept aside until they are mended."
HOW_TO_UNDO = "What came in can be taken back here, or at any time on the page What came in."
NOTHING_SAID = "Press a proposal, or type into a cell. Nothing is stored until you bring the lines in."


def counted_lines(number: int) -> str:
    """1 line, 2 lines."""
    return f"{number:,} line" if number == 1 else f"{number:,} lines"


def what_happens(judged: Judged, corrections: Corrections) -> str:
    """What bringing in would do now, in a sentence or two."""
    if corrections.is_empty:
        return NOTHING_SAID
    if judged.whole:
        return f"These lines cannot be read as they are now: saw {judged.whole.seen}, expected {judged.whole.expected}."
    told = [f"{counted_lines(len(judged.sound))} would come in"]
    if judged.corrects:
        told.append(f"{judged.corrects:,} of them in the place of a line that is in the log")
    if judged.left_out:
        told.append(f"{counted_lines(len(judged.left_out))} would be left out for good")
    waiting = len(judged.lines) - len(judged.settled)
    still = f" {counted_lines(waiting)} would go on waiting." if waiting else ""
    return f"{', '.join(told)}.{still}"


def what_happened(accepted: int, left_out: int, batch: int | None) -> str:
    """What bringing in did."""
    told = [f"{counted_lines(accepted)} came in"] if accepted else []
    told += [f"{counted_lines(left_out)} left out for good"] if left_out else []
    return f"{' and '.join(told) or 'Nothing came in'}, as batch {batch}."
