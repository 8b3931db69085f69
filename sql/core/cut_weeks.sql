-- What each player was fed in each week, one row for each value of each cut.
-- grain: club_id, player_id, week, cut, value
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   week: Monday of the ISO week
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   balls: balls fed
--   good: balls that landed where the drill asked
--   squared_block_balls: sum, over the drill blocks, of the square of the balls that count here
--   squared_session_balls: the same over the sessions
with

sessions as (
    select
        club_id,
        player_id,
        session_id,
        week,
        cut,
        value,
        sum(balls) as balls,
        sum(good) as good,
        sum(balls * balls) as squared_block_balls
    from core.cut_blocks
    group by club_id, player_id, session_id, week, cut, value
)

select
    club_id,
    player_id,
    week,
    cut,
    value,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    cast(sum(squared_block_balls) as bigint) as squared_block_balls,
    cast(sum(balls * balls) as bigint) as squared_session_balls
from sessions
group by club_id, player_id, week, cut, value
