-- What is known of each player's success over the window that ends with each week: one row per week, cut and value.
-- grain: club_id, week, player_id, cut, value
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   balls: balls fed in the window
--   good: of these, balls that landed where the drill asked
--   squared_block_balls: sum, over the drill blocks, of the square of the balls that count here
--   squared_session_balls: the same over the sessions
-- checks:
--   stop: good <= balls
select
    p.club_id,
    p.week,
    p.player_id,
    c.cut,
    c.value,
    cast(sum(c.balls) as bigint) as balls,
    cast(sum(c.good) as bigint) as good,
    cast(sum(c.squared_block_balls) as bigint) as squared_block_balls,
    cast(sum(c.squared_session_balls) as bigint) as squared_session_balls
from core.player_weeks as p
inner join core.cut_weeks as c
    on
        p.club_id = c.club_id
        and p.player_id = c.player_id
        and c.week >= p.window_start
        and c.week <= p.week
group by p.club_id, p.week, p.player_id, c.cut, c.value
