"""The figures that the pages show, table by table: what stands behind every `What is this number?`."""

from dataclasses import dataclass, replace

RATE = ("rate", "low", "high")
SHRUNK = ("shrunk_rate", "shrunk_low", "shrunk_high")
CHANGE = ("change", "change_low", "change_high")


@dataclass(frozen=True)
class Figures:
    """Figures of one published table that stand together on a page, and the settings that they depend on.

    Without `columns`, all that the table's header explains beside who and when; without `uses`, the settings that it
    names.
    """

    table: str
    columns: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    called: str = "What is this number?"


VARIETY = Figures(
    "report.variety",
    (
        *("balls", "sessions", "balls_in_grid", "cells", "cells_met", "cells_covered", "grid_coverage"),
        *("pairs", "pairs_covered", "pair_coverage", "effective_conditions", "total_correlation"),
    ),
    ("window_days", "covered_balls", "rate_balls", "spread_balls"),
)
SPREAD = Figures(
    "report.variety",
    (
        *("dominant_conditions", "evenness", "distinct_conditions", "most_distinct_conditions"),
        *("share_to_move", "plan_distance"),
    ),
    ("spread_balls", "likeness_decay"),
)
EQUAL_BALLS = Figures(
    "report.equal_balls",
    ("equal_balls", "expected_conditions", "expected_coverage"),
    ("window_days", "rate_balls"),
    "What is variety at equal balls?",
)
NEEDS = Figures(
    "report.needs",
    ("reason", "rank", "weight", "balls", "share", "other_share", "low", "high", "cells"),
    (
        *("window_days", "covered_balls", "rate_balls", "single_share", "tie_chance", "tie_share"),
        *("stale_share", "variety_short_share", "small_change"),
    ),
    "Why these reasons, and in this order?",
)
BELOW_A_CARD = Figures(
    "report.variety",
    ("balls", "cells", "cells_covered"),
    ("window_days", "covered_balls"),
    "What stands below a card?",
)
GAPS = Figures(
    "report.gaps",
    ("why", "wanted_share", "balls", "need_balls", "days_since", "judged_balls", *SHRUNK),
    ("window_days", "covered_balls", "judged_weeks"),
)
DIALS = Figures("report.dial_calibrations", called="What do the dials rest on?")
COVERAGE = Figures(
    "report.coverage",
    ("status", "balls", "good", "last_met_on", "wanted_share", "need_balls"),
    ("window_days", "covered_balls"),
    "What counts as met?",
)
COVERAGE_BY_VALUE = Figures(
    "report.coverage_by_value",
    ("cells", "cells_covered", "share_covered", "balls", "last_met_on", "met_anyhow_on", "status"),
    ("window_days", "covered_balls"),
    "What counts as met?",
)
MY_COVERAGE_BY_VALUE = replace(
    COVERAGE_BY_VALUE, columns=tuple(name for name in COVERAGE_BY_VALUE.columns if name != "status")
)
"""For the player, who is told of the days themselves and not in the coach's words for a state."""
BY_PHYSICS = Figures(
    "report.physical_coverage",
    ("balls", "told_balls", "share"),
    ("window_days", "straight_within_deg", "sharp_from_deg", "hurried_below_s", "unhurried_from_s"),
)
PAIRS = Figures("report.coverage_by_pair", ("balls", "is_covered"), ("covered_balls",))
PAIRS_COVERED = Figures(
    "report.pair_coverage", ("pairs", "pairs_covered"), ("covered_balls",), "How are pairs counted?"
)

SUCCESS = Figures("report.success", ("balls", "good", "effective_balls", *RATE, *SHRUNK), ("window_days", "rate_balls"))
WANTED_MIX = Figures(
    "report.standard_success",
    ("balls", "effective_balls", "target_share_seen", *RATE),
    ("window_days", "rate_balls"),
    "What is the wanted mix?",
)
LIKENESS = Figures(
    "report.block_likeness",
    (
        *("likeness", "comparisons", "is_assumed"),
        *("session_likeness", "session_comparisons", "session_is_assumed"),
    ),
    ("assumed_likeness", "likeness_comparisons"),
    "What makes balls alike?",
)
TREND = Figures(
    "report.trend",
    ("sessions", "balls", "first_on", "last_on", *CHANGE, "verdict"),
    ("judged_weeks", "trend_sessions", "trend_balls", "small_change"),
    "What is rising or falling?",
)
THEN_AND_NOW = Figures(
    "report.then_and_now",
    ("balls", "then_balls", "target_share_seen", "rate", "then_rate", *CHANGE, "detectable_change"),
    ("window_days", "rate_balls"),
    "What is like for like?",
)
SESSIONS = Figures("report.session_success", ("balls", "good", "rate"), ("rate_balls",), "What is a single session?")
MISTAKES = Figures(
    "report.errors",
    ("balls", "noted_balls", "outcome_balls", "all_noted_balls", "share", "low", "high", "stands_out"),
    ("window_days", "rate_balls"),
)

COST_OF_A_CHANGE = Figures(
    "report.variety_cost",
    ("first_balls", "repeat_balls", "cost", "low", "high", "target_share_seen", "verdict"),
    ("judged_weeks", "trend_sessions", "compared_blocks", "compared_balls", "small_change"),
)
RARELY_MET = Figures(
    "report.rarely_met",
    ("rare_balls", "familiar_balls", "gap", "low", "high", "verdict"),
    ("judged_weeks", "trend_sessions", "compared_balls", "small_change"),
    "What is rarely met?",
)
TEST_SETS = Figures(
    "report.probes",
    (
        *("sitting", "days_since_first", "balls", "good", "rate", *CHANGE),
        *("detectable_change", "balls_needed", "sittings_needed", "verdict"),
    ),
    ("small_change",),
)
ORDER = Figures(
    "report.schedule",
    ("balls", "conditions", "switch_rate", "relative_switch_rate", "conditional_entropy", "order_seen"),
    ("order_balls", "blocked_below", "serial_below", "entropy_balls"),
)
LOAD = Figures(
    "report.load",
    ("sessions", "minutes", "balls", "effort_load", "weeks_compared", "week_change", "guidance_hours"),
)
CLUB_WEEK = Figures(
    "report.club_week",
    (
        *("players_with_log", "players_active", "lines_refused", "balls", "sessions", "minutes"),
        "players_short_of_variety",
    ),
    ("variety_short_share", "window_days"),
    "What are these numbers?",
)
GROUP_DAYS = Figures(
    "report.group_days",
    ("players_active", "players_with_log", "players_with_log_in_week"),
    (),
    "What stands at a group?",
)
GROUP_COACHES = Figures(
    "report.group_coaches",
    ("coach", "weeks_led", "weeks_logged"),
    ("window_days",),
    "By whom do a group's logs usually come?",
)
