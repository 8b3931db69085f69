"""How each player of the club trains: the planted stories first, then everybody else."""

from datetime import date

from demo_data import stories
from demo_data.club import BACK, MULTIBALL, PARTNER
from demo_data.drills import (
    FAST_BPM,
    SLOW_BPM,
    Drill,
    Habits,
    mixed_for_ball_logs,
    nearly_everything,
    spin_tied_to_depth,
    spin_weights,
)

_ALL_SPINS = spin_weights(1, 3, 2, 2, 3, 3, 1)
_MOSTLY_TOPSPIN = spin_weights(0, 1, 1, 1, 3, 6, 2)
_MOSTLY_BACKSPIN = spin_weights(3, 5, 2, 1, 1, 1, 0)
_GENTLE_SPINS = spin_weights(0, 2, 4, 1, 4, 2, 0)

_MOSTLY_BACK_CENTRE = {"BC": 6.0, "BL": 1.0, "BR": 2.0, "MC": 2.0, PARTNER: 0.5}
_BACK_ROW = dict.fromkeys(BACK, 3.0) | {MULTIBALL: 1.0, "MC": 1.0}
_WIDE_CHOICE = {"BC": 3.0, "BL": 2.0, "BR": 2.0, "MC": 2.0, "ML": 1.0, "MR": 1.0, "NC": 2.0, "NL": 1.0, "NR": 1.0}
_ROUND_THE_TABLE = {"BC": 2.0, "BR": 2.0, "MC": 2.0, "NC": 1.5, MULTIBALL: 3.0, PARTNER: 0.5}
_LEFT_HALF = {"BL": 4.0, "ML": 3.0, "NL": 3.0, "BC": 1.0, "MR": 0.6}
_MINI_SETUPS = {"BC": 4.0, "BL": 1.0, "BR": 1.5, "MC": 3.0, "ML": 1.0, MULTIBALL: 2.0}

_MINI_BPM = (24.0, 26.0, 28.0, 30.0, 32.0, 36.0)
_BOTH_TEMPOS = SLOW_BPM + FAST_BPM
_THREE_EVENINGS = (0.85, 0.9, 0.7)
_TWO_EVENINGS = (0.8, 0.85, 0.25)
_ONE_EVENING = (0.15, 0.8, 0.15)
_EVERY_EVENING = (1.0, 1.0, 1.0)

_FIRST_BALLS = (
    Drill("BC", 30.0, "blocked", ("light_topspin",), 8),
    Drill("BC", 30.0, "blocked", ("no_spin",), 6),
)

_STORIES = {
    stories.BACK_CENTRE_ONLY: Habits(0.5, {"BC": 1.0}, _ALL_SPINS, _BOTH_TEMPOS, _TWO_EVENINGS),
    stories.SPIN_TIED_TO_DEPTH: Habits(
        0.9, attendance=_EVERY_EVENING, cycle=spin_tied_to_depth(), drills_per_session=6
    ),
    stories.BACKSPIN_ONLY: Habits(0.2, _WIDE_CHOICE, spin_weights(2, 4, 3, 0, 0, 0, 0), attendance=_TWO_EVENINGS),
    stories.RISER: Habits(
        -0.2, _ROUND_THE_TABLE, _ALL_SPINS, attendance=_THREE_EVENINGS, feeds_per_session=(5, 8), drift=1.5, swing=0.1
    ),
    stories.NOISY: Habits(0.2, _MOSTLY_BACK_CENTRE, _ALL_SPINS, attendance=_TWO_EVENINGS, drift=0, swing=1.1),
    stories.FALLS_AT_CHANGES: Habits(
        1.35, attendance=(0.5, 1.0, 0.3), cycle=mixed_for_ball_logs(), drills_per_session=4, change_cost=1.25
    ),
    stories.ABSENT: Habits(
        0.4, _ROUND_THE_TABLE, _MOSTLY_TOPSPIN, attendance=_TWO_EVENINGS, last_day=date(2026, 10, 16)
    ),
    stories.NEWCOMER: Habits(
        0.0, attendance=(0, 1, 0), first_day=date(2026, 11, 18), cycle=_FIRST_BALLS, drills_per_session=2
    ),
    stories.LEFT_HANDED: Habits(0.5, _LEFT_HALF, _ALL_SPINS, attendance=_TWO_EVENINGS, drift=0),
    stories.ALL_ROUNDER: Habits(
        1.1, attendance=(0.95, 0.95, 0.9), cycle=nearly_everything(), drills_per_session=2, drift=0.2
    ),
    stories.ONE_TEMPO: Habits(
        0.9, _WIDE_CHOICE, _ALL_SPINS, (36.0,), (0.95, 0.95, 0.9), feeds_per_session=(7, 8), buckets=(45, 50, 60)
    ),
}

_EVERYBODY_ELSE = {
    "DAPE": Habits(0.9, _WIDE_CHOICE, _ALL_SPINS, _BOTH_TEMPOS, _THREE_EVENINGS, feeds_per_session=(4, 8)),
    "NASI": Habits(0.8, _BACK_ROW, _MOSTLY_TOPSPIN, _BOTH_TEMPOS, _THREE_EVENINGS, feeds_per_session=(4, 7)),
    "HUTA": Habits(0.3, _MOSTLY_BACK_CENTRE, _MOSTLY_BACKSPIN, attendance=_ONE_EVENING, drift=-0.05),
    "BECA": Habits(0.4, _ROUND_THE_TABLE, _ALL_SPINS, attendance=_TWO_EVENINGS),
    "SURO": Habits(0.6, _BACK_ROW, _MOSTLY_TOPSPIN, SLOW_BPM, _TWO_EVENINGS, drift=0),
    "EMDO": Habits(0.1, _MOSTLY_BACK_CENTRE, _MOSTLY_TOPSPIN, attendance=_TWO_EVENINGS, drift=0.3),
    "AIBR": Habits(0.2, _WIDE_CHOICE, _ALL_SPINS, attendance=_TWO_EVENINGS, drift=0.25),
    "JOKV": Habits(0.1, _BACK_ROW, _ALL_SPINS, attendance=_ONE_EVENING),
}

_MINIS = {
    code: Habits(ability, _MINI_SETUPS, _GENTLE_SPINS, _MINI_BPM, attendance, (3, 5), (20, 20, 24, 25, 30), drift=0.3)
    for code, ability, attendance in (
        ("LOPI", -0.2, _TWO_EVENINGS),
        ("FIOS", -0.5, _ONE_EVENING),
        ("MIZA", 0.0, _TWO_EVENINGS),
        ("THQU", -0.3, _TWO_EVENINGS),
        ("INCO", -0.1, _ONE_EVENING),
    )
}

HABITS: dict[str, Habits] = {
    **{story.player: habits for story, habits in _STORIES.items()},
    **_EVERYBODY_ELSE,
    **_MINIS,
}
"""The habits of each player, by the player's code."""
