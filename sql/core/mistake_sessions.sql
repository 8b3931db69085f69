-- What became of the balls of each spin in each session: one row per player, session and spin.
-- Only lines that name every mistake count; a line that says no more than good and balls is left out.
-- grain: club_id, player_id, session_id, spin
-- carried: by week
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   spin: the spin of the fed ball
--   week: Monday of the ISO week
--   balls: balls of that spin on lines that name their mistakes
--   good: of these, balls that landed where the drill asked
--   net: of these, balls into the net
--   long: of these, balls beyond the end line
--   wide: of these, balls beyond a side line
--   missed: of these, balls not touched
--   squared_block_balls: sum, over the drill blocks, of the square of the balls that count here
--   squared_session_balls: the square of the balls
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
)

select
    club_id,
    player_id,
    session_id,
    spin,
    week,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    cast(sum(net) as bigint) as net,
    cast(sum(long) as bigint) as long,
    cast(sum(wide) as bigint) as wide,
    cast(sum(missed) as bigint) as missed,
    cast(sum(balls * balls) as bigint) as squared_block_balls,
    cast(sum(balls) * sum(balls) as bigint) as squared_session_balls
from blocks
group by club_id, player_id, session_id, spin, week
