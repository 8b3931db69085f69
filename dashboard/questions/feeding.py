"""What is asked of feeding: where feeders stand and what their dials give, and what a player met in physical terms."""

from datetime import date
from typing import Any

import polars as pl

from dashboard.questions.asking import Desk, answer
from models.dial import DialLine
from models.permits import Reads


def setups_now(desk: Desk, handedness: str | None = None) -> pl.DataFrame:
    """The setups as they stand now, as players of one hand, or of each, meet them.

    setup_id, handedness, name, feeding, feeder_id, valid_from, x_cm, y_cm, release_height_cm, yaw_deg, net_folded,
    depth, side, distance_cm, yaw_to_centre_deg, head_turn_deg; by code and hand.
    """
    return answer(
        desk,
        """
        select
            setup_id, handedness, name, feeding, feeder_id, valid_from, x_cm, y_cm, release_height_cm, yaw_deg,
            net_folded, depth, side, distance_cm, yaw_to_centre_deg, head_turn_deg
        from core.setups
        where valid_to is null and ($handedness is null or handedness = $handedness)
        order by setup_id, handedness
        """,
        handedness=handedness,
        reads=Reads.NOBODY,
    )


def feeders(desk: Desk) -> pl.DataFrame:
    """The feeders with the ranges of their dials, as core.feeders; by code."""
    return answer(desk, "select * exclude (club_id) from core.feeders order by feeder_id", reads=Reads.NOBODY)


def dial_calibrations(desk: Desk, feeder_id: str | None = None) -> pl.DataFrame:
    """What the dials of one feeder, or of all, give by each set of coefficients; as report.dial_calibrations."""
    return answer(
        desk,
        """
        select * exclude (club_id)
        from report.dial_calibrations
        where $feeder_id is null or feeder_id = $feeder_id
        order by feeder_id, dial, coefficients
        """,
        feeder_id=feeder_id,
        reads=Reads.NOBODY,
    )


def dial_lines(desk: Desk, feeder_id: str, dial: str) -> dict[str, DialLine]:
    """The lines of a calibrated dial (speed or spin) by set of coefficients; those that tell what a step does."""
    rows = dial_calibrations(desk, feeder_id).filter(
        (pl.col("dial") == dial) & pl.col("verdict").is_in(["straight", "bends"])
    )
    return {row["coefficients"]: _line(row) for row in rows.to_dicts()}


def _line(row: dict[str, Any]) -> DialLine:
    numbers = {name: row[name] for name in DialLine.__dataclass_fields__}
    return DialLine(**numbers | {"bend_p_value": float("nan") if row["bend_p_value"] is None else row["bend_p_value"]})


def feeds_from_setup(desk: Desk, setup_id: str, handedness: str) -> pl.DataFrame:
    """What balls from a setup as it stands now are in physical terms, of the kinds that the log has; by spin, length.

    spin, sidespin, length, placement, height, angle_low_deg, angle_high_deg, angle_band, bounce_low_s, bounce_high_s,
    time_low_s, time_high_s, time_band, length_by_physics, length_verdict.
    """
    return answer(
        desk,
        """
        select
            f.spin, f.sidespin, f.length, f.placement, f.height, f.angle_low_deg, f.angle_high_deg, f.angle_band,
            f.bounce_low_s, f.bounce_high_s, f.time_low_s, f.time_high_s, f.time_band, f.length_by_physics,
            f.length_verdict
        from report.feed_physics as f
        inner join core.setups as u
            on f.setup_id = u.setup_id and f.valid_from = u.valid_from and f.handedness = u.handedness
        left join core.words as s on s.list = 'spin' and s.word = f.spin
        left join core.words as n on n.list = 'length' and n.word = f.length
        where u.valid_to is null and f.setup_id = $setup_id and f.handedness = $handedness
        order by s.rank, n.rank, f.feed_kind
        """,
        setup_id=setup_id,
        handedness=handedness,
        reads=Reads.NOBODY,
    )


def physical_coverage(desk: Desk, week: date, player_id: str, measure: str) -> pl.DataFrame:
    """How many balls of a player's window came from which angle, or how soon: band, balls, share; in word order.

    `measure` is angle or time.
    """
    return answer(
        desk,
        """
        select c.band, c.balls, c.share
        from report.physical_coverage as c
        inner join core.words as w on w.list = concat(c.measure, '_band') and w.word = c.band
        where c.week = $week and c.player_id = $player_id and c.measure = $measure
        order by w.rank
        """,
        week=week,
        player_id=player_id,
        measure=measure,
        reads=Reads.ONE_PLAYER,
    )


def doubtful_lengths(desk: Desk, week: date, player_id: str) -> pl.DataFrame:
    """The kinds of ball in a player's window whose logged length is doubtful, the most fed first.

    setup_id, spin, sidespin, length, placement, height, length_by_physics, balls.
    """
    return answer(
        desk,
        """
        select
            f.setup_id, f.spin, f.sidespin, f.length, f.placement, f.height, f.length_by_physics, sum(p.balls) as balls
        from core.feed_weeks as p
        inner join core.player_weeks as w
            on p.player_id = w.player_id and p.week between w.window_start and w.week
        inner join report.feed_physics as f on p.feed_kind = f.feed_kind
        where w.week = $week and p.player_id = $player_id and f.is_doubtful
        group by f.setup_id, f.spin, f.sidespin, f.length, f.placement, f.height, f.length_by_physics
        order by balls desc, f.setup_id, f.spin, f.length, f.sidespin, f.placement, f.height
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )
