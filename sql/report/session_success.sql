-- How often the ball landed where the drill asked in each single session: one row per session and player.
-- Single sessions swing by chance and by what was trained; no range is given, and no trend is read from two of them.
-- grain: club_id, session_id, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   session_id: day and label of the session
--   player_id: the club's code for the player
--   session_date: day of the session
--   week: Monday of its ISO week
--   balls: balls fed
--   good: of these, balls that landed where the drill asked
--   rate: good of balls (share of 1; empty: fewer balls than the setting rate_balls)
-- checks:
--   stop: good <= balls
select
    s.club_id,
    s.session_id,
    s.player_id,
    s.session_date,
    s.week,
    s.balls,
    s.good,
    case when s.balls >= g.rate_balls then s.good / nullif(s.balls, 0) end as rate
from core.sessions as s
inner join core.settings as g on s.club_id = g.club_id
