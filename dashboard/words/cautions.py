"""What to mind where a feeder is moved, or a ball could hit someone: said in one place, for every page and sheet."""

BEFORE_YOU_MOVE_IT = "Before you move or touch a feeder"

MOVING_A_FEEDER = (
    "Switch the feeder off and unplug it before you lift it, turn it on its stand or clear a jam.",
    "Two people carry a heavy feeder, with the way clear.",
    "Nobody stands in the line of feed while balls come, nor looks into the outlet; stop it before anyone picks up "
    "balls or refills it.",
    "Play the first balls after a move without a player: they may go where nobody expects them.",
    "Balls off the floor before the next block.",
)
"""Usual cautions of the hall: common practice, no source."""

WHO_DECIDES = (
    "The maker's manual, the club's own rules and a licensed coach's judgement come first, above all with minors. What "
    "is shown here is calculated, and no promise where a ball goes."
)

IN_SHORT = "Off and unplugged before you lift it; nobody in the line of feed; balls off the floor."
"""The same in one line, for where there is room for no more."""
