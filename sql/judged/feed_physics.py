"""What each kind of feed in the log is in physical terms: its angle, its time, and whether it can be so long.
Nothing was measured: the words stand for a typical ball (settings), aimed and flown under every set of coefficients;
each figure is the range over the sets. Angles are those of the ball between its two bounces, seen from above. The time
runs from the release to contact: the player's plane, 30 cm behind the end line, or the top of the bounce of a ball that
does not get there. A doubtful length is to be marked, never refused: by no set can such a ball be so long or so short.
grain: club_id, feed_kind
columns:
    club_id: short name of the club
    feed_kind: the kind of feed in words, its setup last; any: the line does not say
    setup_id: the club's code for the setup
    valid_from: first day on which the feeder stood so
    handedness: the hand of the player (right, left)
    spin: the spin of the fed ball
    sidespin: the way the ball curves for the player (empty: not noted)
    length: short, half_long, long, as logged
    placement: where the ball comes, as the player sees it (empty: not noted)
    height: low, medium, high (empty: not noted)
    balls: balls fed, by all players together
    angle_low_deg: angle to the centre line, positive towards the player's right, least over the sets (deg)
    angle_high_deg: the same, most over the sets (deg)
    angle_band: from which side it comes across, and how sharply, as the player's hand meets it
    bounce_low_s: from the release to the bounce, least over the sets (s)
    bounce_high_s: the same, most over the sets (s)
    time_low_s: from the release to contact, least over the sets (s)
    time_high_s: the same, most over the sets (s)
    time_band: hurried, ordinary, unhurried, by the limits in the settings
    length_by_physics: short, half_long or long (empty: the sets differ, or such a ball cannot be fed)
    length_verdict: agrees, possible (by some sets) or doubtful
    is_doubtful: by no set can such a ball have the length that was logged
checks:
    stop: angle_low_deg <= angle_high_deg and time_low_s <= time_high_s and bounce_low_s <= bounce_high_s
    stop: bounce_high_s <= time_high_s
    stop: is_doubtful = (length_verdict = 'doubtful')
"""

from typing import Any

import polars as pl

from models.feed_times import FeedPhysics, angle_band, feed_physics, from_forehand_deg, time_band
from models.settings import Settings
from models.typical import Described
from sql.judging import Evidence, null_if_nan

VERSION = 2


def judge(evidence: Evidence) -> pl.DataFrame:
    """The physics of every kind of feed."""
    kinds = evidence.rows("core.feed_kinds")
    physics = feed_physics([_described(row) for row in kinds.to_dicts()])
    ranges = {
        "angle_{}_deg": physics.angle_deg,
        "bounce_{}_s": physics.bounce_time_s,
        "time_{}_s": physics.contact_time_s,
    }
    return kinds.with_columns(
        *(null_if_nan(each.low).alias(name.format("low")) for name, each in ranges.items()),
        *(null_if_nan(each.high).alias(name.format("high")) for name, each in ranges.items()),
        *_bands(kinds, physics, evidence.settings),
        pl.Series("length_by_physics", physics.lengths, dtype=pl.String),
        pl.Series("length_verdict", physics.verdicts, dtype=pl.String),
        pl.Series("is_doubtful", [verdict == "doubtful" for verdict in physics.verdicts], dtype=pl.Boolean),
    )


def _described(row: dict[str, Any]) -> Described:
    words = ("x_cm", "y_cm", "handedness", "spin", "length", "sidespin", "placement", "height")
    return Described(height_cm=row["release_height_cm"], **{word: row[word] for word in words})


def _bands(kinds: pl.DataFrame, physics: FeedPhysics, club: Settings) -> tuple[pl.Series, pl.Series]:
    """The words for the middle of each range."""
    angles_deg = (physics.angle_deg.low + physics.angle_deg.high) / 2
    times_s = (physics.contact_time_s.low + physics.contact_time_s.high) / 2
    hands = zip(angles_deg, kinds["handedness"], strict=True)
    angle_bands = [
        angle_band(
            from_forehand_deg(angle_deg, hand),
            straight_within_deg=club.straight_within_deg,
            sharp_from_deg=club.sharp_from_deg,
        )
        for angle_deg, hand in hands
    ]
    time_bands = [
        time_band(time_s, hurried_below_s=club.hurried_below_s, unhurried_from_s=club.unhurried_from_s)
        for time_s in times_s
    ]
    return pl.Series("angle_band", angle_bands, dtype=pl.String), pl.Series("time_band", time_bands, dtype=pl.String)
