-- What became of the balls of each spin over the window that ends with each week: one row per player, week and spin.
-- grain: club_id, week, player_id, spin
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   spin: the spin of the fed ball
--   balls: balls of that spin on lines that name their mistakes
--   good: of these, balls that landed where the drill asked
--   net: of these, balls into the net
--   long: of these, balls beyond the end line
--   wide: of these, balls beyond a side line
--   missed: of these, balls not touched
--   squared_block_balls: sum, over the drill blocks, of the square of the balls that count here
--   squared_session_balls: the same over the sessions
-- checks:
--   stop: good + net + long + wide + missed = balls
select
    p.club_id,
    p.week,
    p.player_id,
    s.spin,
    cast(sum(s.balls) as bigint) as balls,
    cast(sum(s.good) as bigint) as good,
    cast(sum(s.net) as bigint) as net,
    cast(sum(s.long) as bigint) as long,
    cast(sum(s.wide) as bigint) as wide,
    cast(sum(s.missed) as bigint) as missed,
    cast(sum(s.squared_block_balls) as bigint) as squared_block_balls,
    cast(sum(s.squared_session_balls) as bigint) as squared_session_balls
from core.player_weeks as p
inner join core.mistake_sessions as s
    on
        p.club_id = s.club_id
        and p.player_id = s.player_id
        and s.week >= p.window_start
        and s.week <= p.week
group by p.club_id, p.week, p.player_id, s.spin
