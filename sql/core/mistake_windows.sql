-- What became of the balls of each spin over the window that ends with each week: one row per player, week and spin.
-- Only lines that name every mistake count; a line that says no more than good and balls is left out.
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
with

blocks as (
    select
        club_id,
        player_id,
        session_id,
        block,
        week,
        spin,
        sum(balls) as balls,
        sum(good) as good,
        sum(net) as net,
        sum(long) as long,
        sum(wide) as wide,
        sum(missed) as missed
    from core.fed_lines
    where net is not null
    group by club_id, player_id, session_id, block, week, spin
),

sessions as (
    select
        club_id,
        player_id,
        session_id,
        week,
        spin,
        sum(balls) as balls,
        sum(good) as good,
        sum(net) as net,
        sum(long) as long,
        sum(wide) as wide,
        sum(missed) as missed,
        sum(balls * balls) as squared_block_balls
    from blocks
    group by club_id, player_id, session_id, week, spin
)

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
    cast(sum(s.balls * s.balls) as bigint) as squared_session_balls
from core.player_weeks as p
inner join sessions as s
    on
        p.club_id = s.club_id
        and p.player_id = s.player_id
        and s.week >= p.window_start
        and s.week <= p.week
group by p.club_id, p.week, p.player_id, s.spin
