"""How to set a feeder for a block of a plan, as pairs of what and how much; and how a ball differs from the last."""

from collections.abc import Iterable
from itertools import pairwise

from dashboard.words.phrases import label, listed, phrase
from dashboard.words.setup import LEAST_TURN_DEG
from dashboard.words.setup_moved import number
from models.ball_change import changes
from models.bearings import LEAST_SHIFT_CM, to_side
from models.block_setup import BlockSetup, Mark
from models.planned import Drill, Plan
from models.table import BALL_DIAMETER_MM, NET_HEIGHT_CM, TABLE_LENGTH_CM
from models.words import DIMENSION
from models.worth import Words

NOT_CALIBRATED = "not calibrated: check ball"

CHECK_BALL = (
    "Calculated for a typical ball of these words, so feed single balls without a player first. Left and right are the "
    "player's; who stands behind the feeder has them reversed."
)


def facts(setup: BlockSetup) -> list[tuple[str, str]]:
    """What to set, in the order in which it is done: head, tilt, dials; then where the player is ready."""
    head = ("Turn the head", _turned(setup.turn_deg)) if setup.turn_deg is not None else ("Head", _looks(setup.yaw_deg))
    tilt = ("Tilt", number(setup.tilt_deg, "°")) if setup.tilt_deg else ("Tilt", "check ball")
    dials = [("Speed dial", _mark(setup.speed)), ("Spin dial", _mark(setup.spin))]
    both = [("Dials", NOT_CALIBRATED)] if setup.speed is None and setup.spin is None else dials
    return [head, tilt, *both, ("Be ready", ready(setup))]


def ready(setup: BlockSetup) -> str:
    """How far from the centre line the player is ready: `23 cm to the right`."""
    aside = to_side(setup.ready.y_cm, LEAST_SHIFT_CM)
    return f"{aside.size:.0f} cm to the {aside.side}" if aside else "in the middle"


def over_the_net(height_cm: float | None) -> str:
    """How far under the ball the net is, by the height of its centre there: `6 cm over the net`."""
    if height_cm is None:
        return ""
    gap_cm = height_cm - NET_HEIGHT_CM - BALL_DIAMETER_MM / 20
    return f"{gap_cm:.0f} cm over the net" if gap_cm > 0 else "into the net"


def from_the_side(setup: BlockSetup, over: str) -> str:
    """The drawing of the ball from the side in words."""
    past_cm = setup.path_cm[-1][0] - TABLE_LENGTH_CM
    where = "beyond" if past_cm > 0 else "before"
    second = f"{abs(past_cm):.0f} cm {where} the player's end line"
    return f"The table from the side: the ball passes {over}, its second bounce is {second}."


def _turned(turn_deg: float) -> str:
    aside = to_side(turn_deg, LEAST_TURN_DEG)
    return f"{aside.size:.0f}° to the {aside.side}" if aside else "leave it as it is"


def _looks(yaw_deg: float) -> str:
    aside = to_side(yaw_deg, LEAST_TURN_DEG)
    return f"{aside.size:.0f}° {aside.side} of straight" if aside else "straight along the table"


def _mark(mark: Mark | None) -> str:
    if mark is None:
        return NOT_CALIBRATED
    return f"{mark.mark:.1f} (a guess: check ball)" if mark.is_guess else f"{mark.mark:.1f}"


def change_from_before(plan: Plan, at: int) -> str | None:
    """How the ball of a block differs from that of the block before; None for the first, and for the closing mix."""
    if at == 0 or plan.blocks[at].closes:
        return None
    return _differs(f"Against block {at}", plan.blocks[at - 1].drills[-1].words, plan.blocks[at].drills[0].words)


def changes_within(drills: Iterable[Drill]) -> list[str]:
    """How each ball of a combination differs from the one before it."""
    return [
        _differs(f"Ball {number} to {number + 1}", one.words, other.words)
        for number, (one, other) in enumerate(pairwise(drills), start=1)
    ]


def _differs(against: str, before: Words, after: Words) -> str:
    found = changes(before, after)
    if not found:
        return f"{against}: the same ball."
    told = [
        f"{_title(one.dimension)} by {one.steps} steps" if one.steps > 1 else _title(one.dimension) for one in found
    ]
    compared = sum(before.get(name) is not None and after.get(name) is not None for name in DIMENSION.names)
    return f"{against}: {len(found)} of {compared} change ({listed(told)})."


_TITLES = {"spin_family": "spin", "spin": "spin", "tempo_band": "tempo", "depth": "depth of the feeder", "side": "side"}


def _title(dimension: str) -> str:
    return _TITLES.get(dimension, label(dimension))


def short_name(words: Words) -> str:
    """A ball in as few words as a list has room for: `Backspin, short, fast`."""
    named = [words.get("spin") or words.get("spin_family"), words.get("length"), words.get("tempo_band")]
    told = [label(word) for word in named if word]
    placement = words.get("placement")
    told += [phrase("placement", placement)] if placement else []
    said = ", ".join(told) or "any ball"
    return said[:1].upper() + said[1:]
