-- What each player was fed in each session, one row for each value of each cut.
-- grain: club_id, player_id, session_id, cut, value
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   week: Monday of the ISO week
--   session_date: day of the session
--   balls: balls fed
--   good: balls that landed where the drill asked
--   expected_good: what the player's club mates would make of the same balls (balls)
-- checks:
--   stop: good <= balls
select
    club_id,
    player_id,
    session_id,
    cut,
    value,
    week,
    session_date,
    cast(sum(balls) as bigint) as balls,
    cast(sum(good) as bigint) as good,
    sum(expected_good) as expected_good
from core.cut_blocks
group by club_id, player_id, session_id, cut, value, week, session_date
