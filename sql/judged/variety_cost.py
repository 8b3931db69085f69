"""Does success hold up when the ball changes? One row per player, over the judged weeks.
The cost is the success on the same combination again less that on the first ball after a change, combination by
combination, in the shares of the target. Only balls logged one by one know what came before them. The range comes
from dealing the player's sessions again 2,000 times, whose blocks share the form of the day (cluster bootstrap, Davison
& Hinkley 1997, 3.8; expanded for few sessions, Hesterberg 2015, The American Statistician 69:371). Holds up: the whole
range lies below the setting small_change. Falls: it does not, and lies above 0 as a whole. Mixed practice usually looks
worse today; judge it by a probe some days later.
grain: club_id, player_id
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    first_balls: compared balls that differ from the one before
    repeat_balls: compared balls like the one before
    cost: points of success lost on the first ball after a change (share of 1; empty: too few)
    low: lower end of its 95 % range (share of 1; empty: too few)
    high: upper end of its 95 % range (share of 1; empty: too few)
    target_share_seen: how much of the wanted mix was met often enough in both ways to compare (share of 1)
    verdict: holds_up, falls, not_clear or too_few
checks:
    stop: verdict in ('holds_up', 'falls', 'not_clear', 'too_few')
    stop: (verdict = 'too_few') = (cost is null)
    stop: target_share_seen >= 0 and target_share_seen <= 1 + 1e-9
"""

import polars as pl

from models.variety_cost import CellBlocks, CostSettings, VarietyCost, variety_cost
from sql.judging import Evidence, each_player, numbered

VERSION = 2


def judge(evidence: Evidence) -> pl.DataFrame:
    """One judgement for each player with balls logged one by one."""
    rows = evidence.judged_rows("core.block_changes")
    # Numbered all at once: for each player alone it would take ten times as long.
    rows = rows.with_columns(
        of_session=numbered(rows, "session_id"),
        of_block=numbered(rows, "session_id", "block"),
        of_cell=numbered(rows, "cell"),
    )
    return each_player(evidence, rows, _cost, SCHEMA)


SCHEMA = {
    "club_id": pl.String,
    "player_id": pl.String,
    "first_balls": pl.Int64,
    "repeat_balls": pl.Int64,
    "cost": pl.Float64,
    "low": pl.Float64,
    "high": pl.Float64,
    "target_share_seen": pl.Float64,
    "verdict": pl.String,
}


def _cost(evidence: Evidence, own: pl.DataFrame) -> VarietyCost:
    counts = ("first_good", "first_balls", "repeat_good", "repeat_balls", "wanted_share")
    log = CellBlocks(
        *(own[name].to_numpy() for name in ("of_session", "of_block", "of_cell")),
        *(own[name].cast(pl.Float64).to_numpy() for name in counts),
    )
    club = evidence.settings
    settings = CostSettings(
        club.trend_sessions, club.compared_blocks, club.compared_balls, small_cost=club.small_change
    )
    return variety_cost(log, evidence.seed, settings)
