"""Where check balls landed, as somebody notes it beside the table: `12 left`, `8 right, 60`."""

import re

from models.refusal import Refused
from models.stance import DEEP_CENTRE, Place
from models.table import TABLE_LENGTH_CM

USUAL_BEFORE_END_CM = TABLE_LENGTH_CM - DEEP_CENTRE.x_cm
"""Where a ball to deep centre lands, so how far before the end line unless a note says otherwise."""

MOST_BALLS = 50
_CM = r"(\d{1,4}(?:[.,]\d+)?)\s*(?:cm)?"
_NOTE = re.compile(rf"{_CM}\s*(l|left|r|right)?(?:\s*[,;]?\s*{_CM})?", re.IGNORECASE)


class NotALanding(Refused):
    """A line that does not say where a ball landed; the text says which, and how to write it."""


def landings_noted(notes: str, *, with_depth: bool = False) -> list[Place]:
    """One place for each line that is not empty; each with its depth if that is asked. Raises NotALanding."""
    lines = [(number, line.strip()) for number, line in enumerate(notes.splitlines(), start=1) if line.strip()]
    if len(lines) > MOST_BALLS:
        raise NotALanding(f"These are {len(lines)} balls; {MOST_BALLS} at most are taken at once.")
    return [_landing(number, line, with_depth=with_depth) for number, line in lines]


def _landing(number: int, line: str, *, with_depth: bool) -> Place:
    found = _NOTE.fullmatch(line)
    if found is None:
        raise NotALanding(
            f"Line {number}: {line[:40]!r} does not say where the ball landed. Write how many cm beside the centre "
            "line and on which side of the player, such as 12 left."
        )
    beside_cm, side, before_end = _centimetres(found[1]), found[2], found[3]
    if beside_cm and side is None:
        raise NotALanding(f"Line {number}: {line[:40]!r} does not say on which side. Write left or right after it.")
    if with_depth and before_end is None:
        raise NotALanding(
            f"Line {number}: {line[:40]!r} does not say how far before the player's end line. Write it behind a comma, "
            f"such as {line[:40]}, 45."
        )
    before_end_cm = USUAL_BEFORE_END_CM if before_end is None else _centimetres(before_end)
    is_left = side is not None and side.lower().startswith("l")
    return Place(TABLE_LENGTH_CM - before_end_cm, -beside_cm if is_left else beside_cm)


def _centimetres(number: str) -> float:
    return float(number.replace(",", "."))
