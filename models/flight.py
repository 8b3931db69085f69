"""The flight of fed balls: release, net, bounce, and on to the player or to the second bounce; many feeds at once."""

from dataclasses import asdict, dataclass
from math import tau

import numpy as np

from models.bounce import bounce
from models.coefficients import SET_A, Coefficients
from models.feeds import Feeds
from models.motion import STEP_S, Acceleration, Moment, Track, X, Y, Z, fly
from models.table import (
    NET_HALF_SPAN_CM,
    NET_HEIGHT_CM,
    NET_X_CM,
    TABLE_LENGTH_CM,
    BoolArray,
    FloatArray,
    is_on_table,
)

Point = tuple[float, float, float]
"""In the axes of `models.table`, in cm: x, y, and the height of the ball's centre above the table."""

PLANE_BEHIND_END_CM = 30.0
PLAYER_PLANE_CM = TABLE_LENGTH_CM + PLANE_BEHIND_END_CM
"""Setting: the upright plane, 30 cm behind the end line, where a long ball is taken to be met."""


@dataclass(frozen=True)
class Flights:
    """What becomes of N feeds, every field (N,); NaN for what does not happen. Times run from the release.

    Heights are of the ball's centre above the table, clearance is the gap under the ball. The net stops no ball here:
    what follows is what would have followed, so that a ball that clips it can be told how far it falls short.
    """

    net_time_s: FloatArray
    net_y_cm: FloatArray
    net_clearance_cm: FloatArray
    flight_apex_cm: FloatArray
    landing_time_s: FloatArray
    landing_x_cm: FloatArray
    landing_y_cm: FloatArray
    fall_angle_deg: FloatArray
    topspin_after_rps: FloatArray
    bounce_apex_time_s: FloatArray
    bounce_apex_cm: FloatArray
    plane_time_s: FloatArray
    second_time_s: FloatArray
    second_x_cm: FloatArray
    second_y_cm: FloatArray

    @property
    def clears_net(self) -> BoolArray:
        """Over the net, or around it, outside its posts, which is legal too (Laws, 2.7)."""
        clears: BoolArray = (self.net_clearance_cm > 0) | (np.abs(self.net_y_cm) > NET_HALF_SPAN_CM)
        return clears

    @property
    def contact_time_s(self) -> FloatArray:
        """Release to contact: at the player's plane, or at the top of the bounce where the ball does not get there."""
        return np.where(np.isnan(self.plane_time_s), self.bounce_apex_time_s, self.plane_time_s)

    def row(self, place: int = 0) -> dict[str, float | None]:
        """The numbers of one feed by name, None for what does not happen; for a table or JSON."""
        return {name: _number_or_none(column[place]) for name, column in asdict(self).items()}


def simulate(
    feeds: Feeds,
    coefficients: Coefficients = SET_A,
    *,
    player_plane_cm: float = PLAYER_PLANE_CM,
    step_s: float = STEP_S,
) -> Flights:
    """Fly a batch of feeds to the second time they come down to the table's level.

    Within a millimetre of an adaptive integrator for steps up to 50 ms. Raises OutOfBounds for an impossible feed.
    """
    feeds.check()
    return follow(feeds, coefficients, player_plane_cm=player_plane_cm, step_s=step_s)


def follow(
    feeds: Feeds, coefficients: Coefficients, *, player_plane_cm: float = PLAYER_PLANE_CM, step_s: float = STEP_S
) -> Flights:
    """As simulate, but unchecked: a feed of NaN, one that cannot be played, gives NaN."""
    first = fly_first_leg(feeds, coefficients, step_s)
    landing = fall_to_table(first, coefficients)
    second, spin_rad_s = _fly_second_leg(landing, feeds.spin_rad_s(), coefficients, step_s)
    second_fall = fall_to_table(second, coefficients)
    return Flights(
        **_seen_at_net(first, coefficients),
        **_seen_at_landing(first, landing),
        **_seen_after_bounce(second, spin_rad_s, player_plane_cm, second_fall),
        **_seen_at_second_bounce(second_fall),
    )


def path_cm(feeds: Feeds, coefficients: Coefficients = SET_A) -> FloatArray:
    """The way of the first feed for a drawing: points (K, 3) from release to the second time at table level."""
    feeds.check()
    first = fly_first_leg(feeds, coefficients)
    landing = fall_to_table(first, coefficients)
    second, _ = _fly_second_leg(landing, feeds.spin_rad_s(), coefficients)
    ways = (first.points_until(landing), second.points_until(fall_to_table(second, coefficients)))
    points_cm = np.vstack(ways) * 100
    return points_cm[~np.isnan(points_cm).any(axis=1)]


def points_of_path(feeds: Feeds, coefficients: Coefficients = SET_A) -> tuple[Point, ...]:
    """The same as plain numbers."""
    return tuple((float(x), float(y), float(z)) for x, y, z in path_cm(feeds, coefficients))


def air_acceleration(coefficients: Coefficients, spin_rad_s: FloatArray) -> Acceleration:
    """Gravity, drag and lift on balls with this spin (3, N)."""
    total_spin_rad_s = np.sqrt((spin_rad_s**2).sum(axis=0))
    wx, wy, wz = spin_rad_s

    def acceleration(velocity_mps: FloatArray) -> FloatArray:
        vx, vy, vz = velocity_mps
        speed_mps = np.sqrt(vx * vx + vy * vy + vz * vz)
        lift = coefficients.lift_per_radian(total_spin_rad_s, speed_mps)
        total: FloatArray = -coefficients.drag_per_m * speed_mps * velocity_mps
        total[X] += lift * (wy * vz - wz * vy)
        total[Y] += lift * (wz * vx - wx * vz)
        total[Z] += lift * (wx * vy - wy * vx) - coefficients.gravity_mps2
        return total

    return acceleration


def fly_first_leg(feeds: Feeds, coefficients: Coefficients, step_s: float = STEP_S) -> Track:
    """From the release until every ball is past the net and below the table's level, or lost.

    A ball too weak for the net is followed on below it, so that its clearance is a (negative) number to aim with.
    """
    lost_below_m = -5.0

    def is_done(position_m: FloatArray) -> BoolArray:
        is_down = position_m[Z] <= coefficients.ball_radius_m
        past_net = position_m[X] >= NET_X_CM / 100
        done: BoolArray = (is_down & past_net) | ~(position_m[Z] > lost_below_m)
        return done

    return fly(air_acceleration(coefficients, feeds.spin_rad_s()), feeds.release(), is_done, step_s)


def fall_to_table(track: Track, coefficients: Coefficients) -> Moment:
    """When each ball comes down to where it touches the table, or would if the table were there."""
    return track.crossing(Z, coefficients.ball_radius_m, falling=True)


def net_clearance_cm(at_net: Moment, coefficients: Coefficients) -> FloatArray:
    """The gap (N,) between the net's top and the underside of the ball; negative for a ball below it."""
    underside_m: FloatArray = at_net.position_m[Z] - coefficients.ball_radius_m
    return underside_m * 100 - NET_HEIGHT_CM


def _fly_second_leg(
    landing: Moment, spin_rad_s: FloatArray, coefficients: Coefficients, step_s: float = STEP_S
) -> tuple[Track, FloatArray]:
    """From the bounce until every ball is back at the table's level, and its spin; NaN where it missed the table."""
    bounced = is_on_table(100 * landing.position_m[X], 100 * landing.position_m[Y])
    velocity_mps, bounced_spin_rad_s = bounce(landing.velocity_mps, spin_rad_s, coefficients)
    start = Moment(landing.time_s, landing.position_m, np.where(bounced, velocity_mps, np.nan))

    def is_done(position_m: FloatArray) -> BoolArray:
        done: BoolArray = ~(position_m[Z] > coefficients.ball_radius_m)
        return done

    return fly(air_acceleration(coefficients, bounced_spin_rad_s), start, is_done, step_s), bounced_spin_rad_s


def _seen_at_net(first: Track, coefficients: Coefficients) -> dict[str, FloatArray]:
    at_net = first.crossing(X, NET_X_CM / 100)
    return {
        "net_time_s": at_net.time_s,
        "net_y_cm": at_net.position_m[Y] * 100,
        "net_clearance_cm": net_clearance_cm(at_net, coefficients),
    }


def _seen_at_landing(first: Track, landing: Moment) -> dict[str, FloatArray]:
    vx, vy, vz = landing.velocity_mps
    return {
        "flight_apex_cm": 100 * np.fmax(first.position_m[0, Z], first.top().position_m[Z]),
        "landing_time_s": landing.time_s,
        "landing_x_cm": landing.position_m[X] * 100,
        "landing_y_cm": landing.position_m[Y] * 100,
        "fall_angle_deg": np.degrees(np.arctan2(-vz, np.hypot(vx, vy))),
    }


def _seen_after_bounce(
    second: Track, spin_rad_s: FloatArray, player_plane_cm: float, second_fall: Moment
) -> dict[str, FloatArray]:
    vx, vy, _ = second.velocity_mps[0]
    top, plane = second.top(), second.crossing(X, player_plane_cm / 100).until(second_fall)
    return {
        "topspin_after_rps": (spin_rad_s[1] * vx - spin_rad_s[0] * vy) / (tau * np.hypot(vx, vy)),
        "bounce_apex_time_s": top.time_s,
        "bounce_apex_cm": top.position_m[Z] * 100,
        "plane_time_s": plane.time_s,
    }


def _seen_at_second_bounce(second_fall: Moment) -> dict[str, FloatArray]:
    return {
        "second_time_s": second_fall.time_s,
        "second_x_cm": second_fall.position_m[X] * 100,
        "second_y_cm": second_fall.position_m[Y] * 100,
    }


def _number_or_none(number: float) -> float | None:
    return None if np.isnan(number) else float(number)
