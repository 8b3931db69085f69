"""A fixed test set fed again: what changed since its first sitting beyond chance. One row per sitting of each player.
A sitting is compared only where it holds the same kinds of ball as the first. Range by Newcombe (1998, Statistics in
Medicine 17:873, method 10) on effective balls; the detectable change is the smallest that these balls could tell from
chance (Weir 2005, Journal of Strength and Conditioning Research 19:231). Judge learning by the sitting some days
later: mixed practice usually looks worse on the day. Balls of one block share its luck, and those of one sitting the
form of the day (Kish 1965, Survey Sampling): more balls on the same day hardly help, more days do. How many it takes is
the normal sample size for two rates (Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, ch. 4).
grain: club_id, player_id, probe, sitting
columns:
    club_id: short name of the club
    player_id: the club's code for the player
    probe: the name of the test set
    sitting: place of the sitting, from 1
    session_id: day and label of the session
    session_date: day of the session
    days_since_first: days since the first sitting (days)
    balls: balls fed
    good: of these, balls that landed where the drill asked
    rate: good of balls (share of 1)
    is_same_test: it holds the same kinds of ball as the first sitting
    change: rate less that of the first sitting (share of 1; empty: not compared)
    change_low: lower end of its 95 % range (share of 1; empty: not compared)
    change_high: upper end of its 95 % range (share of 1; empty: not compared)
    detectable_change: the smallest change that these balls could tell (share of 1; empty: not compared)
    balls_needed: before, and as many after, to see the setting small_change, 4 times of 5 (balls; empty: not compared)
    sittings_needed: like these, on which those balls must be spread, before and after (sittings; empty: not compared)
    verdict: first, better, worse, not_clear or other_test
checks:
    stop: good <= balls
    stop: verdict in ('first', 'better', 'worse', 'not_clear', 'other_test')
    stop: (change is null) = (verdict in ('first', 'other_test'))
"""

from typing import Any

import polars as pl

from models.probes import Probe, probe_change
from sql.judging import Evidence

VERSION = 2
SCHEMA = {
    "change": pl.Float64,
    "change_low": pl.Float64,
    "change_high": pl.Float64,
    "detectable_change": pl.Float64,
    "balls_needed": pl.Float64,
    "sittings_needed": pl.Int64,
    "verdict": pl.String,
}


def judge(evidence: Evidence) -> pl.DataFrame:
    """Every sitting, each beside the first of its test set."""
    rows = evidence.rows("core.probe_sittings").sort("player_id", "probe", "sitting")
    first = {name: pl.col(name).first().over("player_id", "probe") for name in COUNTS}
    rows = rows.with_columns(**{f"first_{name}_then": value for name, value in first.items()})
    same = pl.all_horizontal(pl.col("first_conditions", "first_conditions_then") == pl.col("conditions"))
    rows = rows.with_columns(is_same_test=same, rate=pl.col("good") / pl.col("balls"))
    judged = pl.DataFrame([_judged(evidence, row) for row in rows.iter_rows(named=True)], schema=SCHEMA)
    return pl.concat([rows, judged], how="horizontal")


COUNTS = ("good", "balls", "squared_block_balls", "conditions")


def _judged(evidence: Evidence, row: dict[str, Any]) -> dict[str, Any]:
    if row["sitting"] == 1 or not row["is_same_test"]:
        return {"verdict": "first" if row["sitting"] == 1 else "other_test"}
    before = Probe(*(row[f"first_{name}_then"] for name in COUNTS[:3]))
    after = Probe(*(row[name] for name in COUNTS[:3]))
    alike = evidence.likeness
    found = probe_change(before, after, alike.rho, alike.rho_session, evidence.settings.small_change)
    return {
        "change": found.change,
        "change_low": found.low,
        "change_high": found.high,
        "detectable_change": found.detectable_change,
        "balls_needed": found.balls_needed,
        "sittings_needed": found.sittings_needed,
        "verdict": found.verdict,
    }
