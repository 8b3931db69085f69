"""What is asked of the judgements of one player: trend, like for like, does it hold up, test sets."""

from datetime import date

from dashboard.questions.asking import Desk, answer_rows, first_row
from dashboard.rows.judged import (
    LikenessRow,
    MixRow,
    RarelyMetRow,
    SittingRow,
    ThenAndNowRow,
    TrendRow,
    VarietyCostRow,
)
from models.permits import Reads


def standard_success(desk: Desk, week: date, player_id: str | None = None) -> tuple[MixRow, ...]:
    """Success on the wanted mix of balls, of one player or of every active one, with what it speaks for."""
    return answer_rows(
        desk,
        MixRow,
        """
        select m.player_id, m.balls, m.effective_balls, m.target_share_seen, m.rate, m.low, m.high
        from report.standard_success as m
        inner join core.players as p on m.player_id = p.player_id
        where m.week = $week and p.is_active and ($player_id is null or m.player_id = $player_id)
        order by m.player_id
        """,
        week=week,
        player_id=player_id,
        reads=Reads.PLAYERS,
    )


def trends(desk: Desk, player_id: str, cut: str) -> tuple[TrendRow, ...]:
    """A player's trend for each value of a cut, up to the last day in the log, in the order of the words."""
    return answer_rows(
        desk,
        TrendRow,
        """
        select
            t.value, t.sessions, t.balls, t.first_on, t.last_on, t.change, t.change_low, t.change_high, t.verdict
        from report.trend as t
        left join core.words as w on w.list = t.cut and w.word = t.value
        where t.player_id = $player_id and t.cut = $cut
        order by w.rank, t.value
        """,
        player_id=player_id,
        cut=cut,
        reads=Reads.ONE_PLAYER,
    )


def trend(desk: Desk, player_id: str) -> TrendRow | None:
    """A player's trend over all balls; None where nothing was logged in the judged weeks."""
    return next(iter(trends(desk, player_id, "all")), None)


def then_and_now(desk: Desk, week: date, player_id: str) -> ThenAndNowRow | None:
    """A player's success now beside that of the first whole window, like for like; None where one is missing."""
    return first_row(
        desk,
        ThenAndNowRow,
        """
        select
            then_week, balls, then_balls, target_share_seen, rate,
            then_rate, change, change_low, change_high, detectable_change
        from report.then_and_now
        where week = $week and player_id = $player_id
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def variety_cost(desk: Desk, player_id: str) -> VarietyCostRow | None:
    """What a change of ball costs a player; None where no ball was logged one by one in the judged weeks."""
    return first_row(
        desk,
        VarietyCostRow,
        "select first_balls, repeat_balls, cost, low, high, target_share_seen, verdict from report.variety_cost"
        " where player_id = $player_id",
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def rarely_met(desk: Desk, player_id: str) -> RarelyMetRow | None:
    """Success on rarely met balls beside familiar ones; None where no wanted ball fell into the judged weeks."""
    return first_row(
        desk,
        RarelyMetRow,
        "select rare_balls, familiar_balls, gap, low, high, verdict from report.rarely_met"
        " where player_id = $player_id",
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def probes(desk: Desk, week: date, player_id: str) -> tuple[SittingRow, ...]:
    """The sittings of a player's test sets up to a week, each beside the first, by test set and sitting."""
    return answer_rows(
        desk,
        SittingRow,
        """
        select
            probe, sitting, session_date, days_since_first, balls, good, rate, change, change_low, change_high,
            detectable_change, balls_needed, sittings_needed, verdict
        from report.probes
        where player_id = $player_id and date_diff('day', $week, session_date) < 7
        order by probe, sitting
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def block_likeness(desk: Desk) -> LikenessRow:
    """How alike the balls of one drill block, and of one session, are in this club, and on what that rests."""
    return answer_rows(
        desk,
        LikenessRow,
        "select likeness, comparisons, is_assumed, session_likeness, session_comparisons, session_is_assumed"
        " from report.block_likeness",
        reads=Reads.CLUB,
    )[0]
