-- Since when each player has met each wanted combination: one row per player and combination met.
-- grain: club_id, player_id, cell
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   cell: the combination in words
--   first_met_on: first day on which the player met it
--   first_balls: balls fed on that day
-- checks:
--   stop: first_balls > 0
with

days as (
    select club_id, player_id, cell, session_date, sum(balls) as balls
    from core.block_cells
    group by club_id, player_id, cell, session_date
),

firsts as (
    select club_id, player_id, cell, min(session_date) as first_met_on
    from days
    group by club_id, player_id, cell
)

select
    f.club_id,
    f.player_id,
    f.cell,
    f.first_met_on,
    cast(d.balls as bigint) as first_balls
from firsts as f
inner join days as d
    on f.club_id = d.club_id and f.player_id = d.player_id and f.cell = d.cell and f.first_met_on = d.session_date
