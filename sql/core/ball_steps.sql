-- The balls whose place is known, each with what came before it in its block: one row per ball logged one by one.
-- grain: club_id, session_id, player_id, block, ball, feed
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   player_id: the club's code for the player
--   block: drill block within the session, from 1
--   ball: place of the ball in its block
--   feed: place in a combination, from 1
--   week: Monday of the ISO week
--   condition: everything in which the ball may differ from another, in words
--   condition_before: the same of the ball before it (empty: the first of its block)
--   good: 1 where the ball landed where the drill asked, else 0
select
    club_id,
    session_id,
    player_id,
    block,
    ball_or_0 as ball,
    feed,
    week,
    condition,
    lag(condition) over (partition by club_id, session_id, player_id, block order by ball_or_0, feed) as condition_before,
    good
from core.fed_lines
where ball_or_0 > 0
