-- What each player met of each week's wanted combinations: one row per player, week and combination met.
-- grain: club_id, player_id, week, cell
-- carried: by week
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cell: the combination in words
--   balls: balls fed
--   good: balls that landed where the drill asked
--   last_met_on: last day in the week on which it was met
select
    b.club_id,
    b.player_id,
    b.week,
    c.cell,
    cast(sum(b.balls) as bigint) as balls,
    cast(sum(b.good) as bigint) as good,
    max(b.session_date) as last_met_on
from core.block_feeds as b
inner join core.player_targets as t on b.club_id = t.club_id and b.player_id = t.player_id
inner join core.condition_cells as c
    on
        t.club_id = c.club_id
        and t.target = c.target
        and t.applies_to = c.applies_to
        and b.condition = c.condition
group by b.club_id, b.player_id, b.week, c.cell
