"""The sets of coefficients of flight and bounce under which every physical figure is worked out.
Published lift laws differ by more than ten times, and no published measurement covers balls as slow as short feeds, so
a figure that depends on lift is shown as a range over the sets. A set is named, and its version rises when it changes.
grain: club_id, coefficients
columns:
    club_id: short name of the club
    coefficients: name of the set
    version: version of the set
    source: where its numbers come from
    confirmed: whether the source was read, or a value is from memory
    drag_coefficient: C_D of the air drag
    lift_factor: a of the lift law C_L = a S / (b + c S), S = spin parameter R w / v
    lift_offset: b of the lift law
    lift_growth: c of the lift law
    restitution: speed after the bounce of speed before, upwards (ratio)
    friction: mu between ball and table
"""

from dataclasses import asdict

import polars as pl

from models.coefficients import ALL_SETS
from sql.judging import Evidence

VERSION = 1


def judge(evidence: Evidence) -> pl.DataFrame:
    """A row for each set; the same for every club."""
    rows = [{"club_id": evidence.settings.club_id, "coefficients": each.name} | asdict(each) for each in ALL_SETS]
    return pl.DataFrame(rows).with_columns(pl.col("version").cast(pl.Int64))
