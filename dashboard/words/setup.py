"""What is said of a feeder's place: sentences for who knows the hall and the table, not the axes.

Left and right are the player's, as in the log; who stands behind the feeder and looks at the player has them reversed.
"""

from dashboard.words.phrases import phrase
from models.feeder_aim import Aim
from models.stance import Depth, Handedness, Place, Side
from models.standing_feeder import Standing
from models.table import NET_X_CM, TABLE_LENGTH_CM

LEAST_TURN_DEG = 0.5
LEAST_SHIFT_CM = 0.5


def called(standing: Standing) -> str:
    """A feeder by its name and code, or as the place it is: `back centre (BC)`."""
    if standing.code is None:
        return "A feeder at this place"
    return standing.code if standing.name in (None, standing.code) else f"{standing.name} ({standing.code})"


def the_place(place: Place) -> str:
    """A place on the feeder's side: `30 cm behind its end line and 70 cm to the player's right`."""
    along = "on its end line"
    if abs(place.x_cm) >= LEAST_SHIFT_CM:
        where = "in front of" if place.x_cm > 0 else "behind"
        along = f"{abs(place.x_cm):.0f} cm {where} its end line"
    return f"{along} and {beside(place.y_cm)}"


def the_target(place: Place) -> str:
    """A place on the player's half: `35 cm behind the net and on the centre line`."""
    behind_net_cm, before_end_cm = place.x_cm - NET_X_CM, TABLE_LENGTH_CM - place.x_cm
    if behind_net_cm < before_end_cm:
        return f"{behind_net_cm:.0f} cm behind the net and {beside(place.y_cm)}"
    return f"{before_end_cm:.0f} cm before the player's end line and {beside(place.y_cm)}"


def beside(y_cm: float) -> str:
    """How far to a side, as the player sees it: `70 cm to the player's right`, `on the centre line`."""
    if abs(y_cm) < LEAST_SHIFT_CM:
        return "on the centre line"
    return f"{abs(y_cm):.0f} cm to the player's {left_or_right(y_cm)}"


def left_or_right(number: float) -> str:
    """The player's side that a sign means."""
    return "right" if number > 0 else "left"


def turn(turn_deg: float, decimals: int = 0) -> str:
    """How to turn the head, for the player and for who stands behind it; only where it is worth turning."""
    side, other = ("right", "left") if turn_deg > 0 else ("left", "right")
    angle = f"{abs(turn_deg):.{decimals}f}°"
    return f"{angle} to the player's {side} (to your {other}, as you stand behind the feeder)"


def depth_and_side(depth: Depth, side: Side, hand: Handedness) -> str:
    """What a place is to a player: `from the back, forehand side of a right-handed player`."""
    return f"{phrase('depth', depth)}, {phrase('side', side)} for a {hand}-handed player"


def aim_sentences(standing: Standing, aim: Aim) -> list[str]:
    """How to point the head, how far to turn it from where it is, and what the place is; the answer first."""
    sentences = [point_the_head(aim), head_now(aim), the_stand(standing, aim)]
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
    if abs(aim.head_turn_deg) < LEAST_TURN_DEG:
        return f"{logged}: leave it."
    return f"{logged}: turn it {turn(aim.head_turn_deg, 1)}."


def the_stand(standing: Standing, aim: Aim) -> str:
    """Where the feeder stands, and what that is to the player."""
    feeder = called(standing)
    place = depth_and_side(aim.depth, aim.side, aim.hand)
    return f"{feeder[:1].upper()}{feeder[1:]} stands {the_place(standing.place)}: {place}."


def direction(yaw_deg: float) -> str:
    """Where a head points: `14.3° to the player's left`."""
    if abs(yaw_deg) < 0.05:
        return "straight ahead (0°)"
    return f"{abs(yaw_deg):.1f}° to the player's {left_or_right(yaw_deg)}"
