"""How the judged tables were made: one row per club and table.
grain: club_id, table_name
columns:
    club_id: short name of the club
    table_name: the judged table
    version: rises when the judgement would come out otherwise on the same log
    seed: fixes every draw by chance
    last_week: Monday of the last week in the log (empty: no log yet)
"""

import polars as pl

from sql.judging import Evidence

VERSION = 1


def judge(evidence: Evidence) -> pl.DataFrame:
    """One row for each judged table, this one among them."""
    return pl.DataFrame(
        [
            {
                "club_id": evidence.settings.club_id,
                "table_name": table,
                "version": version,
                "seed": evidence.seed,
                "last_week": evidence.last_week,
            }
            for table, version in sorted(evidence.versions.items())
        ],
        schema_overrides={"last_week": pl.Date},
    )
