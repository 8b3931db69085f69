"""How alike the balls of one drill block are in this club: one row per club.
A block has its own luck, so 300 balls in 10 blocks may tell no more than 120 single ones. Estimated by analysis of
variance within the same player, kind of ball and four weeks, so that neither difficulty nor progress passes for it
(Fleiss, Levin & Paik 2003, Statistical Methods for Rates and Proportions, ch. 15), floored at 0. Blocks of one session
are taken to have their luck each on its own: where the form of the day moves them together, ranges are too short.
grain: club_id
columns:
    club_id: short name of the club
    likeness: 0 = every ball stands for itself, 1 = a block counts as one ball (share of 1)
    comparisons: comparisons between blocks on which it rests
    is_assumed: there were too few, so the setting assumed_likeness stands in
checks:
    stop: likeness >= 0 and likeness <= 1
"""

import polars as pl

from sql.judging import Evidence

VERSION = 1


def judge(evidence: Evidence) -> pl.DataFrame:
    """The club's one row."""
    likeness = evidence.likeness
    return pl.DataFrame(
        {
            "club_id": [evidence.settings.club_id],
            "likeness": [likeness.rho],
            "comparisons": [likeness.freedom],
            "is_assumed": [likeness.is_assumed],
        }
    )
