-- What each player met of each week's wanted combinations: one row per player, week and combination met.
-- grain: club_id, player_id, week, cell
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cell: the combination in words
--   balls: balls fed
--   good: balls that landed where the drill asked
--   last_met_on: last day in the week on which it was met
select
    l.club_id,
    l.player_id,
    l.week,
    c.cell,
    cast(sum(l.balls) as bigint) as balls,
    cast(sum(l.good) as bigint) as good,
    max(l.session_date) as last_met_on
from core.fed_lines as l
inner join core.player_targets as t on l.club_id = t.club_id and l.player_id = t.player_id
inner join core.condition_cells as c
    on
        t.club_id = c.club_id
        and t.target = c.target
        and t.applies_to = c.applies_to
        and l.condition = c.condition
group by l.club_id, l.player_id, l.week, c.cell
