"""What to feed next: the wanted combinations that a player lacks, as of the last day in the log, in order.
First what brings most for each minute: its wanted share, times how much of it is missing, times the windows since it
was met; a combination never met comes before all that were, a covered one that is weak counts as if all were missing;
and every pair of values not yet covered together counts beside it (two-way coverage, NISTIR 7878). The next one is
chosen as if those before it had been fed. A page asks for the day it is looked at, by the same rule. Weak: clearly less
often good than such a ball is expected to be for this player (range of the difference: Newcombe 1998, Statistics in
Medicine 17:873, method 10; see report.cell_success). The shrunk rate pulls small counts towards the player's level
(empirical Bayes, Gelman et al. 2013, Bayesian Data Analysis, 5.3).
grain: club_id, player_id, rank
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    rank: 1 is what to feed first
    cell: the combination in words
    {dimension}: {meaning} (empty: any)
    wanted_share: how much of the player's balls should be so (share of 1)
    balls: balls fed in the window
    need_balls: balls still missing in the window for the combination to be covered
    last_met_on: last day on which the player met it (empty: never yet)
    days_since: days from then to the last day in the log (days; empty: never yet)
    status: empty, stale, touched or covered
    judged_balls: balls fed in the judged weeks
    shrunk_rate: success on it, pulled towards the player's level (share of 1; empty: no balls in the judged weeks)
    shrunk_low: lower end of its 95 % range (share of 1; empty: no balls in the judged weeks)
    shrunk_high: upper end of its 95 % range (share of 1; empty: no balls in the judged weeks)
    why: never_met, not_lately, weak or too_few
checks:
    stop: why in ('never_met', 'not_lately', 'weak', 'too_few')
    stop: need_balls > 0 or why = 'weak'
    stop: (status = 'empty') = (last_met_on is null)
    stop: (status = 'empty') = (why = 'never_met') and (status = 'stale') = (why = 'not_lately')
    stop: why <> 'weak' or shrunk_rate is not null
"""

import polars as pl

from sql.judging import Evidence
from sql.wanted import WANTED_ON_DAY, gaps_among

VERSION = 3
READS = ("report.cell_success",)


def judge(evidence: Evidence) -> pl.DataFrame:
    """The gaps of every player, ranked."""
    last_day = evidence.rows("core.sessions")["session_date"].max()
    asked = evidence.connection.sql(WANTED_ON_DAY, params={"day": last_day, "player_id": None}).pl()
    of_club = asked.filter(pl.col("club_id") == evidence.settings.club_id)
    players = of_club.partition_by("player_id", maintain_order=True) or [of_club]
    return pl.concat([gaps_among(rows, evidence.settings) for rows in players])
