-- What each player was fed in each drill block, kind of ball by kind of ball.
-- Balls of one block resemble each other; how much, is told from these rows.
-- grain: club_id, player_id, session_id, block, condition
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   block: drill block within the session, from 1
--   condition: everything in which the fed ball may differ from another, in words
--   week: Monday of the ISO week
--   session_date: day of the session
--   balls: balls fed
--   good: balls that landed where the drill asked
-- checks:
--   stop: good <= balls
select
    l.club_id,
    l.player_id,
    l.session_id,
    l.block,
    l.condition,
    l.week,
    l.session_date,
    cast(sum(l.balls) as bigint) as balls,
    cast(sum(l.good) as bigint) as good
from core.block_feeds as l
group by l.club_id, l.player_id, l.session_id, l.block, l.condition, l.week, l.session_date
