"""The club's settings as they are shown: in groups, each setting once."""

from collections.abc import Mapping

GROUPS: Mapping[str, tuple[str, ...]] = {
    "The club": ("club_name", "club_colour", "time_zone"),
    "What is covered, and who is short of variety": (
        "window_days",
        "covered_balls",
        "rate_balls",
        "variety_short_share",
        "single_share",
        "stale_share",
        "spread_balls",
        "likeness_decay",
        "tie_chance",
        "tie_share",
    ),
    "Where a feeder stands, and how fast it feeds": (
        "back_below_cm",
        "near_from_cm",
        "centre_within_cm",
        "slow_below_bpm",
        "fast_from_bpm",
        "straight_within_deg",
        "sharp_from_deg",
        "hurried_below_s",
        "unhurried_from_s",
        "calibration_days",
        "calibration_balls",
    ),
    "Success, trends and the order of balls": (
        "judged_weeks",
        "trend_sessions",
        "trend_balls",
        "small_change",
        "compared_blocks",
        "compared_balls",
        "assumed_likeness",
        "likeness_comparisons",
        "order_balls",
        "order_balls_per_kind",
        "blocked_below",
        "serial_below",
        "entropy_balls",
    ),
    "Plans and the hall": (
        "planned_balls",
        "block_pause_minutes",
        "feeder_move_minutes",
        "closing_minutes",
        "hall_minutes",
        "hall_begins_at",
        "hall_wait_minutes",
        "hall_balls",
    ),
    "Who counts at the table": ("most_taps", "taps_kept_days", "counts_own_balls"),
    "What is kept, and who stays signed in": (
        "retention_months",
        "trail_months",
        "coordinator_idle_hours",
        "coordinator_most_days",
        "spare_room_mb",
    ),
}

FIXED = ("club_id", "is_invented")
"""Not to be changed here: the log is written under the one, and the other says what the data are."""


def setting_called(name: str) -> str:
    """A setting as a field is called: `covered_balls` -> `Covered balls`."""
    return name.replace("_", " ").capitalize()
