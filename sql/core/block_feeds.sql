-- What each player was fed in each drill block, feed by feed: the log in force, added up once for all that follows.
-- grain: club_id, player_id, session_id, block, condition, setup_valid_from, stroke_or_dash
-- carried: by week
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   block: drill block within the session, from 1
--   condition: everything in which the fed ball may differ from another, in words
--   setup_valid_from: first day on which the setup stood as it did on that day
--   stroke_or_dash: the stroke asked for (-: not noted)
--   week: Monday of the ISO week
--   session_date: day of the session
--   balls: balls fed
--   good: balls that landed where the drill asked
-- checks:
--   stop: good <= balls
select
    club_id,
    player_id,
    session_id,
    block,
    condition,
    setup_valid_from,
    coalesce(stroke, '-') as stroke_or_dash,
    week,
    session_date,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good
from core.fed_lines
group by club_id, player_id, session_id, block, condition, setup_valid_from, stroke, week, session_date
