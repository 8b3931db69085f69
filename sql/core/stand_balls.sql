-- What each player was fed from one place in one session, spin by spin: the stands that a tie of place and spin rests on.
-- Balls of one stand resemble each other: the feeder is not moved between them.
-- grain: club_id, player_id, session_id, depth, side, spin_family
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   week: Monday of the ISO week
--   depth: where the feeder stood: back, middle, near
--   side: on which side of the player it stood: forehand, centre, backhand
--   spin_family: backspin, no_spin, topspin
--   balls: balls fed
select
    club_id,
    player_id,
    session_id,
    week,
    depth,
    side,
    spin_family,
    cast(sum(balls) as bigint) as balls
from core.fed_lines
group by club_id, player_id, session_id, week, depth, side, spin_family
