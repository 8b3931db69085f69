"""What the coach asks: who lacks what, and what to feed next."""

from datetime import date

import polars as pl

from dashboard.questions.asking import Desk, answer, answer_rows, kept
from dashboard.questions.everyone import players, settings
from dashboard.rows.building import rows
from dashboard.rows.coach import BoardRow, CoverageRow, GapRow, MissingPairRow, NeedRow, PairsRow, ValueRow
from models.permits import Reads
from models.words import DIMENSION
from models.worth import Wanted
from sql.wanted import WANTED_ON_DAY, as_wanted, gaps_among

BOARD_ORDERS = {
    "Who lacks most": "v.grid_coverage nulls last, v.pair_coverage nulls last",
    "Name": "p.name",
    "Fewest balls": "balls",
    "Lowest success on the wanted mix": "m.rate nulls last",
    "Longest without a log": "s.days_since_log desc nulls first",
}
"""The orders of the board's rows. Who cannot be judged comes after those who can."""

_DIMENSIONS = ", ".join(f"c.{name}" for name in DIMENSION.names)

_IN_WORD_ORDER = """
    inner join core.words as d on d.list = 'dimension' and d.word = v.dimension
    inner join core.words as w on w.list = v.dimension and w.word = v.value
"""


def groups(desk: Desk) -> list[str]:
    """The groups that have active players whom one may read."""
    return sorted({player.group_name for player in players(desk) if player.group_name is not None})


def board(desk: Desk, week: date, order: str = "Who lacks most", group: str | None = None) -> tuple[BoardRow, ...]:
    """The active players as of a week: standing, last log, balls, combinations and pairs; one of BOARD_ORDERS."""
    question = f"""
        select
            p.player_id, p.name, p.group_name, p.handedness, coalesce(s.standing, 'no_log') as standing,
            s.last_logged_on, coalesce(v.balls, 0) as balls, coalesce(v.sessions, 0) as sessions,
            v.cells, v.cells_covered, v.pairs, v.pairs_covered
        from core.players as p
        left join report.variety as v on p.player_id = v.player_id and v.week = $week
        left join report.standing as s on p.player_id = s.player_id and s.week = $week
        left join report.standard_success as m on p.player_id = m.player_id and m.week = $week
        where p.is_active and ($group is null or p.group_name = $group)
        order by coalesce(s.standing, 'no_log') <> 'judged', {BOARD_ORDERS[order]}, p.name, p.player_id
    """
    return answer_rows(desk, BoardRow, question, week=week, group=group, reads=Reads.PLAYERS)


def needs(desk: Desk, group: str | None = None) -> tuple[NeedRow, ...]:
    """The reasons of the active players as of the last week in the log, those who need the coach most first."""
    return answer_rows(
        desk,
        NeedRow,
        """
        select
            n.player_id, p.name, p.handedness, n.reason, n.rank, n.weight, n.balls, n.share, n.other_share, n.low,
            n.high, n.cells, n.depth, n.side, n.spin_family, n.tempo_band, s.last_logged_on, v.balls as window_balls,
            v.cells_covered, v.cells as cells_wanted
        from report.needs as n
        inner join core.players as p on n.player_id = p.player_id
        inner join report.standing as s on n.player_id = s.player_id
        inner join report.variety as v on s.player_id = v.player_id and s.week = v.week
        where s.week = (select max(week) from core.weeks) and ($group is null or p.group_name = $group)
        order by max(n.weight) over (partition by n.player_id) desc, p.name, n.player_id, n.rank
        """,
        group=group,
        reads=Reads.PLAYERS,
    )


def coverage_by_value(desk: Desk, week: date, player_id: str | None = None) -> tuple[ValueRow, ...]:
    """What one player, or every active one, met of each wanted value, in the order of the words."""
    return answer_rows(
        desk,
        ValueRow,
        f"""
        select
            v.player_id, v.dimension, v.value, v.cells, v.cells_covered, v.share_covered, v.balls, v.last_met_on,
            v.met_anyhow_on, v.status
        from report.coverage_by_value as v
        inner join core.players as p on v.player_id = p.player_id
        {_IN_WORD_ORDER}
        where v.week = $week and p.is_active and ($player_id is null or v.player_id = $player_id)
        order by v.player_id, d.rank, w.rank
        """,
        week=week,
        player_id=player_id,
        reads=Reads.PLAYERS,
    )


def coverage(desk: Desk, week: date, player_id: str | None = None, group: str | None = None) -> tuple[CoverageRow, ...]:
    """What one player, a group, or every active player met of each wanted combination."""
    return answer_rows(
        desk,
        CoverageRow,
        f"""
        select
            c.player_id, c.cell, {_DIMENSIONS}, c.balls, c.good, c.last_met_on, c.wanted_share, c.need_balls, c.status
        from report.coverage as c
        inner join core.players as p on c.player_id = p.player_id
        where
            c.week = $week and p.is_active
            and ($player_id is null or c.player_id = $player_id)
            and ($group is null or p.group_name = $group)
        order by c.player_id, c.cell
        """,
        week=week,
        player_id=player_id,
        group=group,
        reads=Reads.PLAYERS,
    )


def wanted(desk: Desk, player_id: str, on: date) -> tuple[Wanted, ...]:
    """Every combination that a player's target wants, and how the player stands to it on a day."""
    return tuple(map(as_wanted, _wanted(desk, player_id, on).iter_rows(named=True)))


def feed_next(desk: Desk, player_id: str, on: date, limit: int) -> tuple[GapRow, ...]:
    """What to feed a player on a day: the first of what is lacking then, ranked as report.gaps is."""
    return kept(desk, _feed_next, player_id, on, limit)


def _feed_next(desk: Desk, player_id: str, on: date, limit: int) -> tuple[GapRow, ...]:
    gaps = gaps_among(_wanted(desk, player_id, on), settings(desk)).head(limit)
    return rows(gaps.drop("club_id", "player_id", "cell", "rank", "is_weak"), GapRow)


def _wanted(desk: Desk, player_id: str, on: date) -> pl.DataFrame:
    return answer(desk, WANTED_ON_DAY, day=on, player_id=player_id, reads=Reads.ONE_PLAYER)


def pairs(desk: Desk, week: date, player_id: str) -> tuple[PairsRow, ...]:
    """For every two dimensions of a player's target: how many pairs of their values there are, and are covered."""
    return answer_rows(
        desk,
        PairsRow,
        """
        select dimension, other_dimension, pairs, pairs_covered
        from report.pair_coverage
        where week = $week and player_id = $player_id
        order by share_covered, dimension, other_dimension
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )


def missing_pairs(desk: Desk, week: date, player_id: str) -> tuple[MissingPairRow, ...]:
    """The pairs of values that a player has not met enough together in the window."""
    return answer_rows(
        desk,
        MissingPairRow,
        f"""
        select v.dimension, v.value, v.other_dimension, v.other_value, v.balls
        from report.coverage_by_pair as v
        {_IN_WORD_ORDER}
        where v.week = $week and v.player_id = $player_id and not v.is_covered
        order by v.dimension, v.other_dimension, w.rank, v.other_value
        """,
        week=week,
        player_id=player_id,
        reads=Reads.ONE_PLAYER,
    )
