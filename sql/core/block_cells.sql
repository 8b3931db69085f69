-- What each player met of the wanted combinations in each drill block: one row per player, block and combination met.
-- grain: club_id, player_id, session_id, block, cell
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   block: drill block within the session, from 1
--   cell: the combination in words
--   week: Monday of the ISO week
--   session_date: day of the session
--   wanted_share: how much of the player's balls should be so (share of 1)
--   balls: balls fed
--   good: balls that landed where the drill asked
-- checks:
--   stop: good <= balls
select
    b.club_id,
    b.player_id,
    b.session_id,
    b.block,
    c.cell,
    b.week,
    b.session_date,
    c.wanted_share,
    cast(sum(b.balls) as bigint) as balls,
    cast(sum(b.good) as bigint) as good
from core.block_conditions as b
inner join core.player_conditions as c
    on b.club_id = c.club_id and b.player_id = c.player_id and b.condition = c.condition
group by b.club_id, b.player_id, b.session_id, b.block, c.cell, b.week, b.session_date, c.wanted_share
