-- How hard each kind of ball is for a player's club mates: one row per player and condition that the player was fed.
-- The player's own balls are left out, so that nobody is compared with themselves. Who of the club mates is better or
-- worse than others is taken out of their balls first, so that a kind does not look easy because strong players met it.
-- A kind that the others met little is pulled towards what they make of all balls, as if they had met it `rate_balls`
-- times (a setting) at that level; with nobody else in the log it is one half.
-- grain: club_id, player_id, condition
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   condition: everything in which the fed ball may differ from another, in words
--   others_balls: balls of that kind that the others were fed
--   expected_rate: what the others make of them, were they all of one level (share of 1)
-- checks:
--   stop: expected_rate > 0 and expected_rate < 1
with

own as (
    select
        l.club_id,
        l.player_id,
        l.condition,
        g.rate_balls,
        sum(l.balls) as balls,
        sum(l.good) as good
    from core.fed_lines as l
    inner join core.settings as g on l.club_id = g.club_id
    group by l.club_id, l.player_id, l.condition, g.rate_balls
),

summed as (
    select
        club_id,
        player_id,
        condition,
        rate_balls,
        balls,
        good,
        sum(balls) over (partition by club_id, condition) - balls as others_balls,
        sum(good) over (partition by club_id, condition) - good as others_good,
        sum(balls) over (partition by club_id) - sum(balls) over (partition by club_id, player_id) as all_balls,
        sum(good) over (partition by club_id) - sum(good) over (partition by club_id, player_id) as all_good
    from own
),

-- One hit and one miss are added to all balls of the others, so that the rate is never 0 nor 1.
as_met as (
    select
        *,
        (others_good + rate_balls * (all_good + 1) / nullif(all_balls + 2, 0))
        / nullif(others_balls + rate_balls, 0) as rate
    from summed
),

-- By how much each player's rate lies above what the others make of the same balls. Balls are added up in whole parts
-- of 1e-11, because a sum of doubles depends on the order of the rows.
levels as (
    select
        club_id,
        player_id,
        sum(cast(round(1e11 * (good - balls * rate)) as bigint)) / nullif(1e11 * sum(balls), 0) as lead
    from as_met
    group by club_id, player_id
),

levelled as (
    select
        m.club_id,
        m.player_id,
        m.condition,
        m.rate_balls,
        m.others_balls,
        m.all_balls,
        m.balls,
        cast(round(1e11 * (m.good - m.balls * v.lead)) as bigint) as good_parts
    from as_met as m
    inner join levels as v on m.club_id = v.club_id and m.player_id = v.player_id
),

others as (
    select
        club_id,
        player_id,
        condition,
        rate_balls,
        others_balls,
        all_balls,
        (sum(good_parts) over (partition by club_id, condition) - good_parts) / 1e11 as others_good,
        (
            sum(good_parts) over (partition by club_id)
            - sum(good_parts) over (partition by club_id, player_id)
        ) / 1e11 as all_good
    from levelled
)

-- Levels are added and taken away on the scale of rates, which has ends.
select
    club_id,
    player_id,
    condition,
    cast(others_balls as bigint) as others_balls,
    greatest(
        least(
            (others_good + rate_balls * (all_good + 1) / nullif(all_balls + 2, 0))
            / nullif(others_balls + rate_balls, 0),
            0.98e0
        ),
        0.02e0
    ) as expected_rate
from others
