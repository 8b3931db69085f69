"""What to feed next: the wanted combinations that a player lacks, as of the last week in the log, in order.
Most wanted first; of these, first the never met, then those not met lately, then the weak (met enough, and clearly
below the player's own level), then those with too few balls; of these the lowest shrunk rate first. The shrunk rate
pulls small counts towards the player's level over the judged weeks (empirical Bayes, Gelman et al. 2013, Bayesian
Data Analysis, 5.3), so that two unlucky balls do not make a weakness.
grain: club_id, player_id, rank
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    rank: 1 is what to feed first
    cell: the combination in words
    depth: back, middle, near (empty: any)
    side: forehand, centre, backhand (empty: any)
    spin_family: backspin, no_spin, topspin (empty: any)
    spin: the spin of the fed ball (empty: any)
    sidespin: left, none, right (empty: any)
    length: short, half_long, long (empty: any)
    placement: where the ball comes, as the player sees it (empty: any)
    height: low, medium, high (empty: any)
    tempo_band: slow, medium, fast (empty: any)
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

VERSION = 2
READS = ("report.cell_success",)
WHY_OF_STATUS = {"empty": "never_met", "stale": "not_lately", "touched": "too_few"}
ORDER = ("never_met", "not_lately", "weak", "too_few")


def judge(evidence: Evidence) -> pl.DataFrame:
    """The gaps of every player, ranked."""
    success = evidence.rows("report.cell_success").drop("club_id")
    lacking = _coverage_now(evidence).join(success, on=["player_id", "cell"], how="left")
    is_weak = (pl.col("status") == "covered") & pl.col("is_weak")
    why = pl.when(is_weak).then(pl.lit("weak")).otherwise(pl.col("status").replace_strict(WHY_OF_STATUS, default=None))
    ranked = lacking.with_columns(why=why, judged_balls=pl.col("judged_balls").fill_null(0)).drop_nulls("why")
    ranked = ranked.with_columns(place=pl.col("why").cast(pl.Enum(ORDER)).to_physical()).sort(
        *("player_id", "wanted_share", "place", "shrunk_rate", "last_met_on", "need_balls", "cell"),
        descending=[False, True, False, False, False, True, False],
    )
    return ranked.with_columns(rank=pl.int_range(1, pl.len() + 1, dtype=pl.Int64).over("player_id"))


def _coverage_now(evidence: Evidence) -> pl.DataFrame:
    last_day = evidence.rows("core.sessions")["session_date"].max()
    days_since = (pl.lit(last_day, dtype=pl.Date) - pl.col("last_met_on")).dt.total_days()
    return (
        evidence.rows("report.coverage")
        .filter(pl.col("week") == pl.lit(evidence.last_week, dtype=pl.Date))
        .with_columns(days_since=days_since)
    )
