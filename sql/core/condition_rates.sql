-- How hard each kind of ball is for a player's club mates: one row per player and condition that the player was fed.
-- The player's own balls are left out, so that nobody is compared with themselves. A kind that the others met little is
-- pulled towards what they make of all balls, as if they had met it `rate_balls` times (a setting) at that level; with
-- nobody else in the log it is one half.
-- grain: club_id, player_id, condition
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   condition: everything in which the fed ball may differ from another, in words
--   others_balls: balls of that kind that the others were fed
--   expected_rate: what the others make of them (share of 1)
-- checks:
--   stop: expected_rate > 0 and expected_rate < 1
with

own as (
    select
        club_id,
        player_id,
        condition,
        sum(balls) as balls,
        sum(good) as good
    from core.fed_lines
    group by club_id, player_id, condition
),

summed as (
    select
        club_id,
        player_id,
        condition,
        sum(balls) over (partition by club_id, condition) - balls as others_balls,
        sum(good) over (partition by club_id, condition) - good as others_good,
        sum(balls) over (partition by club_id) - sum(balls) over (partition by club_id, player_id) as all_balls,
        sum(good) over (partition by club_id) - sum(good) over (partition by club_id, player_id) as all_good
    from own
)

-- One hit and one miss are added to all balls of the others, so that the rate is never 0 nor 1.
select
    s.club_id,
    s.player_id,
    s.condition,
    cast(s.others_balls as bigint) as others_balls,
    (s.others_good + g.rate_balls * (s.all_good + 1) / nullif(s.all_balls + 2, 0))
    / nullif(s.others_balls + g.rate_balls, 0) as expected_rate
from summed as s
inner join core.settings as g on s.club_id = g.club_id
