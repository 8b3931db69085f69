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
    club_id,
    player_id,
    week,
    cell,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    max(session_date) as last_met_on
from core.block_cells
group by club_id, player_id, week, cell
