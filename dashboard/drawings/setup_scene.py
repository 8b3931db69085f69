"""What is drawn and said of one place of a feeder: the cone of balls from there, and where its player is ready."""

from dashboard.drawings.setup import Scene
from dashboard.words.phrases import phrase
from dashboard.words.setup import beside, the_place, the_target
from models.bearings import LEAST_SHIFT_CM, shifted, to_side
from models.ready import READY_BEHIND_END_CM, SHORT_ANGLES_CM, Cone, cone_of_returns, ready_position
from models.stance import Handedness, Place, side_of


def scene_of(
    feeder: Place,
    target: Place,
    *,
    counts_short: bool,
    before: Place | None = None,
    second: Place | None = None,
) -> Scene:
    """The scene of a feeder that aims at a target, moved from another place if one is given. Raises OutOfBounds."""
    cone = cone_from(feeder, counts_short=counts_short)
    return Scene(
        feeder=feeder,
        target=target,
        cone=cone,
        ready=ready_position(cone),
        midpoint=ready_position(cone, "equal_reach"),
        before=before,
        second=second,
        ready_before=None if before is None else ready_position(cone_from(before, counts_short=counts_short)),
    )


def cone_from(feeder: Place, *, counts_short: bool) -> Cone:
    """The cone of balls from a place to the player's corners, wider where short angles count. Raises OutOfBounds."""
    return cone_of_returns(feeder, shortest_behind_net_cm=SHORT_ANGLES_CM if counts_short else None)


def ready_words(scene: Scene, hand: Handedness) -> list[str]:
    """Where the player is ready, by the bisector and by the other definition, and how wide the cone is."""
    return [
        f"Balls from there come within a cone of {scene.cone.width_deg:.0f}°. **Be ready {_where(scene.ready, hand)}**,"
        f" {READY_BEHIND_END_CM:.0f} cm behind the end line: on the bisector of the cone, with as much angle on either "
        "side.",
        f"By the other definition, the middle of what must be reached, it would be {beside(scene.midpoint.y_cm)}.",
    ]


def stand_now(scene: Scene, hand: Handedness, who: str) -> str:
    """Where the player stands now that the feeder has moved, and how far that is from before."""
    where = f"**{who} now stands {_where(scene.ready, hand)}**"
    if scene.ready_before is None:
        return f"{where}."
    step = shifted(scene.ready_before, scene.ready)
    if step is None:
        return f"{where}, as before."
    before = beside(scene.ready_before.y_cm)
    return f"{where}: {step.size:.0f} cm further to the {step.side} than before ({before})."


def alternative(scene: Scene, hand: Handedness) -> str:
    """The drawing in words."""
    moved = "" if scene.before is None else f" Before, it stood {the_place(scene.before)}."
    return (
        f"The table from above, to scale, the player below. The feeder stands {the_place(scene.feeder)}.{moved} It "
        f"aims at a target {the_target(scene.target)}. The player is ready {_where(scene.ready, hand)}; the middle of "
        f"the reach is {beside(scene.midpoint.y_cm)}."
    )


def _where(ready: Place, hand: Handedness) -> str:
    """A place of the player, with the side of the playing hand: `32 cm to the player's right (backhand side)`."""
    aside = to_side(ready.y_cm, LEAST_SHIFT_CM)
    if aside is None:
        return beside(ready.y_cm)
    side = phrase("side", side_of(ready.y_cm, hand, centre_within_cm=0))
    return f"{aside.size:.0f} cm to the {aside.side} of the centre line ({side})"
