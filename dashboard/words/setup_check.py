"""What check balls say: which way to turn the head and how far."""

from dashboard.words.phrases import balls
from dashboard.words.setup import turn
from models.check_ball import HeadCorrection


def correction(found: HeadCorrection) -> list[str]:
    """The advice first, then what it rests on."""
    if found.way == "leave_it":
        return ["**Leave the head as it is.**", _why_left(found)]
    first = f"**Turn the head {turn(found.turn_deg, 1, least_deg=0)}**: {abs(found.sideways_cm):.0f} cm at deep centre."
    if found.size_deg is None:
        return [first, "That is from one ball alone: two or three more show how much the feeder scatters."]
    range_deg = f"{found.size_deg.low:.1f}° to {found.size_deg.high:.1f}°"
    return [first, f"From {balls(found.balls)}; range {range_deg}. Then play another ball to see."]


def _why_left(found: HeadCorrection) -> str:
    if found.turn_deg == 0:
        return "The balls landed on the line to the middle."
    return (
        f"The {balls(found.balls)} scatter too much to tell which way: on average they ask for "
        f"{abs(found.turn_deg):.1f}°, with a range that includes none. Note more balls if you want to be surer."
    )
