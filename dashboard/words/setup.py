"""What is said of a feeder's place: sentences for who knows the hall and the table, not the axes.

Left and right are the player's, as in the log; who stands behind the feeder and looks at the player has them reversed.
"""

from dashboard.words.phrases import phrase
from models.bearings import LEAST_SHIFT_CM, FromLine, from_feeder_end, from_nearer_line, to_side
from models.feeder_aim import Aim
from models.feeder_setup import FeederSetup
from models.stance import Depth, Handedness, Place, Side

LEAST_TURN_DEG = 0.5
LEAST_YAW_DEG = 0.05

_LINES = {
    "before_feeder_end": "in front of its end line",
    "behind_feeder_end": "behind its end line",
    "behind_net": "behind the net",
    "before_player_end": "before the player's end line",
}


def called(setup: FeederSetup) -> str:
    """A feeder by its name and code, or as the place it is: `back centre (BC)`."""
    if setup.code is None:
        return "A feeder at this place"
    return setup.code if setup.name in (None, setup.code) else f"{setup.name} ({setup.code})"


def the_place(place: Place) -> str:
    """A place on the feeder's side: `30 cm behind its end line and 70 cm to the player's right`."""
    along = from_feeder_end(place)
    return f"{_along(along) if along else 'on its end line'} and {beside(place.y_cm)}"


def the_target(place: Place) -> str:
    """A place on the player's half: `35 cm behind the net and on the centre line`."""
    return f"{_along(from_nearer_line(place))} and {beside(place.y_cm)}"


def _along(found: FromLine) -> str:
    return f"{found.cm:.0f} cm {_LINES[found.line]}"


def beside(y_cm: float) -> str:
    """How far to a side, as the player sees it: `70 cm to the player's right`, `on the centre line`."""
    found = to_side(y_cm, LEAST_SHIFT_CM)
    return f"{found.size:.0f} cm to the player's {found.side}" if found else "on the centre line"


def turn(turn_deg: float, decimals: int = 0, least_deg: float = LEAST_TURN_DEG) -> str | None:
    """How to turn the head, for the player and for who stands behind it; None where it is not worth turning."""
    found = to_side(turn_deg, least_deg)
    if found is None:
        return None
    angle = f"{found.size:.{decimals}f}°"
    return f"{angle} to the player's {found.side} (to your {found.other}, as you stand behind the feeder)"


def depth_and_side(depth: Depth, side: Side, hand: Handedness) -> str:
    """What a place is to a player: `from the back, forehand side of a right-handed player`."""
    return f"{phrase('depth', depth)}, {phrase('side', side)} for a {hand}-handed player"


def aim_sentences(setup: FeederSetup, aim: Aim) -> list[str]:
    """How to point the head, how far to turn it from where it is, and what the place is; the answer first."""
    sentences = [point_the_head(aim), head_now(aim), the_stand(setup, aim)]
    if (aim.distance_cm, aim.yaw_deg) != (aim.deep_centre_distance_cm, aim.deep_centre_yaw_deg):
        sentences.append(
            f"Deep centre is {aim.deep_centre_distance_cm:.0f} cm away; for it the head points "
            f"{direction(aim.deep_centre_yaw_deg)}."
        )
    return sentences


def point_the_head(aim: Aim) -> str:
    """The direction of the target, and how far it is."""
    target = the_target(Place(aim.target_x_cm, aim.target_y_cm))
    return (
        f"Point the head {direction(aim.yaw_deg)}, counted from straight along the table: the target, {target}, is "
        f"{aim.distance_cm:.0f} cm away."
    )


def head_now(aim: Aim) -> str:
    """How far the head must turn from where the log says it points."""
    if aim.logged_yaw_deg is None or aim.head_turn_deg is None:
        return "The log does not say how the head is turned now."
    logged = f"The log says it points {direction(aim.logged_yaw_deg)} now"
    turned = turn(aim.head_turn_deg, 1)
    return f"{logged}: turn it {turned}." if turned else f"{logged}: leave it."


def the_stand(setup: FeederSetup, aim: Aim) -> str:
    """Where the feeder stands, and what that is to the player."""
    feeder = called(setup)
    place = depth_and_side(aim.depth, aim.side, aim.hand)
    return f"{feeder[:1].upper()}{feeder[1:]} stands {the_place(setup.place)}: {place}."


def direction(yaw_deg: float) -> str:
    """Where a head points: `14.3° to the player's left`."""
    found = to_side(yaw_deg, LEAST_YAW_DEG)
    return f"{found.size:.1f}° to the player's {found.side}" if found else "straight ahead (0°)"
