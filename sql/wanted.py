"""How players stand to what is wanted of them on a day, and what they lack then.

The log ends some day; what is lacking goes on changing after it, for balls leave the window. So it is worked out for
the day that is asked about, out of tables that do not depend on it.
"""

from collections.abc import Mapping
from typing import Any

import polars as pl

from models.gaps import lacks
from models.settings import Settings
from models.words import COVERAGE_DIMENSIONS
from models.worth import Wanted

DIMENSIONS = tuple(words.name for words in COVERAGE_DIMENSIONS)
STATUS_OF_WHY = {"never_met": "empty", "not_lately": "stale", "weak": "covered", "too_few": "touched"}

WANTED_ON_DAY = f"""
    select
        t.club_id, t.player_id, t.cell, {", ".join(f"t.{dimension}" for dimension in DIMENSIONS)}, t.wanted_share,
        cast(coalesce(m.balls, 0) as bigint) as balls,
        m.last_met_on,
        date_diff('day', m.last_met_on, greatest(cast($day as date), m.last_met_on)) as days_since,
        coalesce(s.judged_balls, 0) as judged_balls, s.shrunk_rate, s.shrunk_low, s.shrunk_high,
        coalesce(s.is_weak, false) as is_weak
    from core.target_cells as t
    inner join core.players as p on t.club_id = p.club_id and t.player_id = p.player_id
    inner join core.settings as g on t.club_id = g.club_id
    left join (
        select
            c.club_id, c.player_id, c.cell, max(c.last_met_on) as last_met_on,
            sum(case when 7 * date_diff('week', c.week, cast($day as date)) < g.window_days then c.balls end) as balls
        from core.cell_weeks as c
        inner join core.settings as g on c.club_id = g.club_id
        where c.week <= cast($day as date)
        group by c.club_id, c.player_id, c.cell
    ) as m on t.club_id = m.club_id and t.player_id = m.player_id and t.cell = m.cell
    left join report.cell_success as s
        on t.club_id = s.club_id and t.player_id = s.player_id and t.cell = s.cell
    where
        ($player_id is null or t.player_id = $player_id)
        and (
            date_diff('day', date_trunc('week', cast($day as date)), p.joined_on) < 7
            or exists (
                select 1 from core.player_weeks as w where w.club_id = t.club_id and w.player_id = t.player_id
            )
        )
        and exists (select 1 from core.weeks as w where w.club_id = t.club_id)
    order by t.club_id, t.player_id, t.cell
"""
"""Every wanted combination of everybody who had begun by the week of $day, or of $player_id alone, as of $day.

The window ends with the Sunday of that week, as everywhere. There is nothing before the first log.
"""


def as_wanted(row: Mapping[str, Any]) -> Wanted:
    """One row of it, as the models take it."""
    words = {dimension: row[dimension] for dimension in DIMENSIONS}
    return Wanted(words, row["wanted_share"], row["balls"], row["days_since"], row["is_weak"])


def gaps_among(rows: pl.DataFrame, settings: Settings) -> pl.DataFrame:
    """Of one player's rows those that the player lacks, by rank: with `rank`, `need_balls`, `status` and `why`."""
    at = {as_wanted(row).cell: number for number, row in enumerate(rows.iter_rows(named=True))}
    found = lacks(map(as_wanted, rows.iter_rows(named=True)), settings)
    urgency = pl.DataFrame(
        {
            "rank": range(1, len(found) + 1),
            "need_balls": [lack.need_balls for lack in found],
            "status": [STATUS_OF_WHY[lack.why] for lack in found],
            "why": [lack.why for lack in found],
        },
        schema={"rank": pl.Int64, "need_balls": pl.Int64, "status": pl.String, "why": pl.String},
    )
    return pl.concat([rows[[at[lack.wanted.cell] for lack in found]], urgency], how="horizontal")
