"""What each dial of each feeder gives, by its noted landings: one row per feeder, dial and set of coefficients.
A straight line from the dial to speed (m/s) or topspin (turns a second, negative for backspin), by least squares over
single balls; each ball's speed or spin is the one that explains where it landed. Speed rests on balls of known spin,
best none; spin on balls whose speed was measured, or is what the speed dial gives. The range of a line is that of its
balls; the sets differ beside it, and for spin they differ more. Landings much older than the feeder's latest (setting
calibration_days) no longer count.
grain: club_id, feeder_id, dial, coefficients
columns:
    club_id: short name of the club
    feeder_id: the club's code for the feeder
    dial: speed or spin
    coefficients: name of the set of coefficients
    coefficients_version: its version
    quantity: speed_mps or topspin_rps
    noted_from: first day of the landings that count (empty: none do)
    noted_to: last day of the landings that count (empty: none do)
    balls: landings on which the line rests
    settings: settings of the dial among them
    unexplained: landings that no speed or spin explains, or whose speed is not known; they are left out
    lowest_dial: lowest of these settings (mark; empty: no line)
    highest_dial: highest of these settings (mark; empty: no line)
    intercept: what the line gives at mark 0 (m/s or turns a second; empty: no line)
    slope: what one step of the dial adds (m/s or turns a second; empty: no line)
    slope_low: lower end of its 95 % range (m/s or turns a second; empty: no line)
    slope_high: upper end of its 95 % range (m/s or turns a second; empty: no line)
    intercept_variance: variance of the intercept (empty: no line)
    slope_variance: variance of the slope (empty: no line)
    covariance: covariance of the two (empty: no line)
    bend_p_value: chance of landings as far off the line if the dial were straight (share of 1; empty: cannot be told)
    confidence: of the range (share of 1; empty: no line)
    verdict: too_few, not_explained, not_clear (a step may do nothing), bends (a line is too simple) or straight
checks:
    stop: verdict in ('too_few', 'not_explained', 'not_clear', 'bends', 'straight')
    stop: (verdict in ('too_few', 'not_explained')) = (slope is null)
    stop: slope is null or (slope_low <= slope and slope <= slope_high)
"""

from collections.abc import Iterator
from dataclasses import asdict
from datetime import timedelta
from typing import Any

import numpy as np
import polars as pl

from models.feeder_calibration import Calibration, NotedBalls, calibrate_feeder
from sql.judging import Evidence

VERSION = 1
OF_LINE = (
    *("lowest_dial", "highest_dial", "intercept", "slope", "slope_low", "slope_high"),
    *("intercept_variance", "slope_variance", "covariance", "bend_p_value", "confidence"),
)
SCHEMA = {
    **dict.fromkeys(("club_id", "feeder_id", "dial", "coefficients", "quantity", "verdict"), pl.String),
    **dict.fromkeys(("coefficients_version", "balls", "settings", "unexplained"), pl.Int64),
    **dict.fromkeys(("noted_from", "noted_to"), pl.Date),
    **dict.fromkeys(OF_LINE, pl.Float64),
}


def judge(evidence: Evidence) -> pl.DataFrame:
    """Every dial of every feeder."""
    landings = evidence.rows("core.landings")
    rows = [
        {"club_id": evidence.settings.club_id, "feeder_id": feeder["feeder_id"]} | row
        for feeder in evidence.rows("core.feeders").to_dicts()
        for row in _dials(evidence, feeder, _that_count(evidence, landings, feeder["feeder_id"]))
    ]
    return pl.DataFrame(rows, schema=SCHEMA).with_columns(pl.col(pl.Float64).fill_nan(None))


def _that_count(evidence: Evidence, landings: pl.DataFrame, feeder_id: str) -> pl.DataFrame:
    own = landings.filter(pl.col("feeder_id") == feeder_id)
    reach = timedelta(days=evidence.settings.calibration_days)
    return own.filter(pl.col("noted_on") > pl.col("noted_on").max() - reach)


def _dials(evidence: Evidence, feeder: dict[str, Any], landings: pl.DataFrame) -> Iterator[dict[str, Any]]:
    has_spin_dial = feeder["spin_dial_highest"] is not None
    days = {
        "speed": landings.filter(pl.col("spin_setting").is_null())["noted_on"],
        "spin": landings.filter(pl.col("spin_setting").is_not_null())["noted_on"],
    }
    for found in calibrate_feeder(_noted(landings), least_balls=evidence.settings.calibration_balls):
        if found.dial == "speed" or has_spin_dial:
            yield _row(found) | {"noted_from": days[found.dial].min(), "noted_to": days[found.dial].max()}


def _noted(landings: pl.DataFrame) -> NotedBalls:
    columns = landings.rename({"release_height_cm": "height_cm"})
    return NotedBalls(**{name: columns[name].fill_null(np.nan).to_numpy() for name in NotedBalls.__dataclass_fields__})


def _row(found: Calibration) -> dict[str, Any]:
    line: dict[str, Any] = {}
    if found.line:
        line = asdict(found.line) | {"slope_low": found.line.step.low, "slope_high": found.line.step.high}
    return {name: value for name, value in (vars(found) | line).items() if name in SCHEMA}
