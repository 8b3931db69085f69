"""What is asked of feeding: where feeders stand and what their dials give, and what a player met in physical terms."""

from datetime import date

from dashboard.questions.asking import Desk, answer_rows, first_row
from dashboard.rows.feeding import BandRow, DialRow, DoubtfulRow, FeederRow, FeedRow, SetupRow
from models.dial import DialLine
from models.permits import Reads


def setups_now(desk: Desk, handedness: str | None = None) -> tuple[SetupRow, ...]:
    """The setups as they stand now, as players of one hand, or of each, meet them; by code and hand."""
    return answer_rows(
        desk,
        SetupRow,
        """
        select
            setup_id, handedness, name, feeder_id, x_cm, y_cm, release_height_cm, yaw_deg, depth, side
        from core.setups
        where valid_to is null and ($handedness is null or handedness = $handedness)
        order by setup_id, handedness
        """,
        handedness=handedness,
        reads=Reads.NOBODY,
    )


def feeders(desk: Desk) -> tuple[FeederRow, ...]:
    """The feeders with the ranges of their dials, by code."""
    return answer_rows(
        desk,
        FeederRow,
        """
        select feeder_id, name, speed_dial_lowest, speed_dial_highest, spin_dial_lowest, spin_dial_highest
        from core.feeders
        order by feeder_id
        """,
        reads=Reads.NOBODY,
    )


def dial_calibrations(desk: Desk, feeder_id: str | None = None) -> tuple[DialRow, ...]:
    """What the dials of one feeder, or of all, give by each set of coefficients."""
    return answer_rows(
        desk,
        DialRow,
        """
        select
            feeder_id, dial, coefficients, quantity, noted_to, balls, settings, lowest_dial, highest_dial, intercept,
            slope, slope_low, slope_high, intercept_variance, slope_variance, covariance, bend_p_value, confidence,
            verdict
        from report.dial_calibrations
        where $feeder_id is null or feeder_id = $feeder_id
        order by feeder_id, dial, coefficients
        """,
        feeder_id=feeder_id,
        reads=Reads.NOBODY,
    )


def dial_lines(desk: Desk, feeder_id: str, dial: str) -> dict[str, DialLine]:
    """The lines of a calibrated dial (speed or spin) by set of coefficients; those that tell what a step does."""
    rows = dial_calibrations(desk, feeder_id)
    return {row.coefficients: row.line for row in rows if row.dial == dial and row.is_known}


def feeds_from_setup(desk: Desk, setup_id: str, handedness: str) -> tuple[FeedRow, ...]:
    """What balls from a setup as it stands now are in physical terms, by the kinds in the log; by spin, length."""
    return answer_rows(
        desk,
        FeedRow,
        """
        select
            f.spin, f.sidespin, f.length, f.placement, f.height, f.angle_band, f.bounce_low_s, f.bounce_high_s,
            f.time_low_s, f.time_high_s, f.length_by_physics, f.length_verdict
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


def physical_coverage(desk: Desk, week: date, player_id: str, measure: str) -> tuple[BandRow, ...]:
    """How many balls of a player's window came from which angle, or how soon; in word order.

    `measure` is angle or time.
    """
    return answer_rows(
        desk,
        BandRow,
        """
        select c.band, c.balls, c.told_balls, c.share
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


def most_doubtful(desk: Desk, week: date, player_id: str) -> DoubtfulRow | None:
    """Of the kinds of ball in a player's window whose logged length is doubtful: the one most fed; None without any."""
    return first_row(
        desk,
        DoubtfulRow,
        """
        select setup_id, spin, length, length_by_physics, balls, doubtful_balls
        from report.doubtful_lengths
        where week = $week and player_id = $player_id
        order by balls desc, feed_kind
        limit 1
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )
