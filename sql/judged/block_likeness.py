"""How alike the balls of one drill block, and of one session, are in this club: one row per club.
A block has its own luck and a day its own form, so 300 balls in 10 blocks may tell no more than 120 single ones, and
fewer if all were fed on one day. Estimated by nested analysis of variance (Fleiss, Levin & Paik 2003, Statistical
Methods for Rates and Proportions, ch. 15; Searle, Casella & McCulloch 1992, Variance Components, ch. 5), floored at 0:
blocks within the same player, kind of ball and four weeks, sessions within the same player and four weeks, each ball
against what such a ball is expected to give this player, so that neither difficulty nor progress passes for likeness:
how hard it is, is told by club mates and by the player's other days (see report.trend). Until enough
sessions can be compared, half of likeness is taken to be the form of the day: an assumption without a published basis.
grain: club_id
columns:
    club_id: short name of the club
    likeness: of one block: 0 = every ball stands for itself, 1 = a block counts as one ball (share of 1)
    comparisons: comparisons between blocks on which it rests
    is_assumed: there were too few, so the setting assumed_likeness stands in
    session_likeness: of two blocks of one session, the form of the day; 0 = the day makes no difference (share of 1)
    session_comparisons: comparisons between sessions of two blocks or more on which it rests
    session_is_assumed: there were too few (setting likeness_comparisons), so half of likeness stands in
checks:
    stop: likeness >= 0 and likeness <= 1
    stop: session_likeness >= 0 and session_likeness <= likeness + 1e-9
"""

import polars as pl

from sql.judging import Evidence

VERSION = 3


def judge(evidence: Evidence) -> pl.DataFrame:
    """The club's one row."""
    likeness = evidence.likeness
    return pl.DataFrame(
        {
            "club_id": [evidence.settings.club_id],
            "likeness": [likeness.rho],
            "comparisons": [likeness.freedom],
            "is_assumed": [likeness.is_assumed],
            "session_likeness": [likeness.rho_session],
            "session_comparisons": [likeness.session_freedom],
            "session_is_assumed": [likeness.session_is_assumed],
        }
    )
