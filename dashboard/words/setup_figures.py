"""The four figures of an aimed ball, each with its range; and what the ball is, seen from the side."""

from collections.abc import Sequence
from dataclasses import dataclass

from dashboard.words.setup_moved import lengths, number
from models.bearings import LEAST_SHIFT_CM, to_side
from models.estimates import Span
from models.moved_ball import Way
from models.stance import Place
from models.table import TABLE_LENGTH_CM

LEAST_TURN_DEG = 0.5


@dataclass(frozen=True)
class Figure:
    """One number: what it is, the number, and what must stand beside it."""

    name: str
    value: str
    more: str


def figures(turn_deg: float, way: Way, ready: Place, dials: Sequence[str]) -> list[Figure]:
    """Turn, tilt with the dials, ready place, time to act. `turn_deg`: the direction of the target."""
    turn = to_side(way.yaw_deg.middle if way.yaw_deg else turn_deg, LEAST_TURN_DEG)
    beside = to_side(ready.y_cm, LEAST_SHIFT_CM)
    return [
        Figure(
            "Turn the head",
            f"{turn.size:.0f}°" if turn else "0°",
            f"to the player's {turn.side}" if turn else "straight ahead",
        ),
        Figure("Tilt and dials", _middle(way.tilt_deg, "°"), _given(way, dials)),
        Figure(
            "Be ready",
            f"{beside.size:.0f} cm" if beside else "0 cm",
            f"{beside.side} of the middle" if beside else "in the middle",
        ),
        Figure("Time to act", _middle(way.times.contact_s, " s", 2), number(way.times.contact_s, "s", 2)),
    ]


def _middle(span: Span | None, unit: str, decimals: int = 0) -> str:
    return "–" if span is None else f"{span.middle:.{decimals}f}{unit}"


def _given(way: Way, dials: Sequence[str]) -> str:
    """What the feeder must give: on its own dials where these are calibrated, else as a speed."""
    if not way.played:
        return "no such ball"
    speeds = [each.speed_mps for each in way.played]
    tilt = number(way.tilt_deg, "°", 1)
    return f"{tilt}; {', '.join(dials) or number(Span(min(speeds), max(speeds)), 'm/s', 1)}"


_BOUNCES = {
    "short": "It bounces twice on the table: **short**.",
    "half_long": "Its second bounce falls about on the end line: **half-long**.",
    "long": "It bounces once on the table: **long**.",
}


def what_it_is(way: Way) -> str:
    """The length by the physics, and how it passes the net."""
    if not way.lengths:
        return "No calculation has this ball from there."
    alike = set(way.lengths) == {way.lengths[0]} and not way.off_side
    said = _BOUNCES.get(way.lengths[0]) if alike else None
    return said or f"By the physics it is **{lengths(way)}**."


def over_the_net(way: Way) -> str:
    """How far over the net: `6 cm over the net`, `into the net`."""
    if way.clearance_cm is None:
        return ""
    return "into the net" if way.clips else f"{number(way.clearance_cm, 'cm')} over the net"


def from_the_side(way: Way, *, is_moved: bool) -> str:
    """The drawing from the side in words."""
    if not way.sets:
        return "The table from the side. No calculation has this ball from there."
    second = "" if way.second is None else f", its second bounce is {_from_the_end(way.second)}"
    before = " A broken line shows the ball before the feeder was moved." if is_moved else ""
    return f"The table from the side: the ball passes {over_the_net(way)}{second}.{before}"


def _from_the_end(place: Place) -> str:
    past_cm = place.x_cm - TABLE_LENGTH_CM
    return f"{abs(past_cm):.0f} cm {'beyond' if past_cm > 0 else 'before'} the player's end line"
