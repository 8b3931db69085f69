"""Does success reach the balls that a player rarely meets? One row per player, over the judged weeks.
The third of the met combinations with the fewest balls against the third with the most, each ball against how hard it
is for everybody else, the player's own level taken out first; where nobody else can tell, the range is wide. It comes
from dealing whole sessions again 2,000 times, whose blocks share the form of the day (cluster bootstrap, Davison &
Hinkley 1997, 3.8; expanded for few sessions, Hesterberg 2015, The American Statistician 69:371), and from the doubt
about how hard the balls are (crossed effects of players and kinds, Breslow & Clayton 1993, Journal of the American
Statistical Association 88:9). Reaches: by the whole range, less than the setting small_change is lost. Falls short:
more may be lost, and the whole range lies below 0. What is met rarely is not drawn by lot, so this shows a hole, not
its cause; a probe tells more.
grain: club_id, player_id
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    rare_balls: balls of the rarely met third
    familiar_balls: balls of the familiar third
    gap: success on rarely met balls less that on familiar ones of like difficulty (share of 1; empty: too few)
    low: lower end of its 95 % range (share of 1; empty: too few)
    high: upper end of its 95 % range (share of 1; empty: too few)
    verdict: reaches, falls_short, not_clear or too_few
checks:
    stop: verdict in ('reaches', 'falls_short', 'not_clear', 'too_few')
    stop: (verdict = 'too_few') = (gap is null)
"""

import numpy as np
import polars as pl

from models.rarely_met import MetCells, Reach, ReachSettings, reach
from sql.judging import Evidence, each_player, numbered

VERSION = 4
SCHEMA = {
    "club_id": pl.String,
    "player_id": pl.String,
    "rare_balls": pl.Int64,
    "familiar_balls": pl.Int64,
    "gap": pl.Float64,
    "low": pl.Float64,
    "high": pl.Float64,
    "verdict": pl.String,
}


def judge(evidence: Evidence) -> pl.DataFrame:
    """One judgement for each player with balls in their grid."""
    cells = evidence.rows("core.player_conditions").select("player_id", "condition", "cell")
    rows = evidence.judged_rows("core.block_conditions").join(
        cells, on=["player_id", "condition"], maintain_order="left"
    )
    rows = rows.with_columns(exposure=pl.col("balls").sum().over("player_id", "cell"))
    return each_player(evidence, rows, _reach, SCHEMA)


def _reach(evidence: Evidence, own: pl.DataFrame) -> Reach:
    belief = evidence.balls.by_others(own["player_id"][0])
    kind = np.searchsorted(belief.kinds, evidence.balls.kind_numbers(own))
    good, balls, exposure = (own[name].to_numpy().astype(np.float64) for name in ("good", "balls", "exposure"))
    session, cell = numbered(own, "session_id"), numbered(own, "cell")
    log = MetCells(session, cell, good, balls, exposure, kind, belief.ease[kind], belief.doubt)
    club = evidence.settings
    settings = ReachSettings(
        least_sessions=club.trend_sessions, least_balls=club.compared_balls, small_gap=club.small_change
    )
    return reach(log, evidence.seed, settings)
