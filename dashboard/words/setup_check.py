"""What check balls say: which way to turn the head and how far."""

from math import isfinite

from dashboard.words.phrases import balls
from dashboard.words.setup import turn
from models.check_ball import HeadCorrection


def correction(found: HeadCorrection) -> list[str]:
    """The advice first, then what it rests on."""
    if found.way == "leave_it":
        return ["**Leave the head as it is.**", _why_left(found)]
    first = f"**Turn the head {turn(found.turn_deg, 1)}**: {abs(found.sideways_cm):.0f} cm at deep centre."
    if not isfinite(found.low_deg):
        return [first, "That is from one ball alone: two or three more show how much the feeder scatters."]
    least, most = sorted((abs(found.low_deg), abs(found.high_deg)))
    return [first, f"From {balls(found.balls)}; range {least:.1f}° to {most:.1f}°. Then play another ball to see."]


def _why_left(found: HeadCorrection) -> str:
    if found.turn_deg == 0:
        return "The balls landed on the line to the middle."
    return (
        f"The {balls(found.balls)} scatter too much to tell which way: on average they ask for "
        f"{abs(found.turn_deg):.1f}°, with a range that includes none. Note more balls if you want to be surer."
    )
