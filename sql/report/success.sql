-- How often the ball landed where the drill asked, with the range in which the true rate plausibly lies.
-- The range is Wilson's 95 % interval for single balls (Newcombe 1998, Statistics in Medicine 17:857). Balls are those
-- of the window that ends with the week's Sunday. Below the setting rate_balls no rate is given.
-- grain: club_id, week, player_id, cut, value
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   cut: by what the balls are told apart (all: not at all)
--   value: the word of that cut
--   balls: balls fed in the window
--   good: of these, balls that landed where the drill asked
--   rate: good of balls (share of 1; empty: too few balls)
--   low: lower end of the range (share of 1; empty: too few balls)
--   high: upper end of the range (share of 1; empty: too few balls)
-- checks:
--   stop: good <= balls
--   stop: rate is null or (0 <= low and low <= rate and rate <= high and high <= 1)
--   stop: (rate is null) = (low is null) and (rate is null) = (high is null)
with

recent as (
    select
        p.club_id,
        p.week,
        p.player_id,
        c.cut,
        c.value,
        cast(sum(c.balls) as bigint) as balls,
        cast(sum(c.good) as bigint) as good
    from core.player_weeks as p
    inner join core.cut_weeks as c
        on
            p.club_id = c.club_id
            and p.player_id = c.player_id
            and c.week >= p.window_start
            and c.week <= p.week
    group by p.club_id, p.week, p.player_id, c.cut, c.value
),

rated as (
    select
        r.club_id,
        r.week,
        r.player_id,
        r.cut,
        r.value,
        r.balls,
        r.good,
        case when r.balls >= g.rate_balls then r.good / nullif(r.balls, 0) end as rate,
        -- 1.959963984540054 is the 97.5 % point of the normal distribution.
        1.959963984540054e0 as z
    from recent as r
    inner join core.settings as g on r.club_id = g.club_id
),

ranged as (
    select
        club_id,
        week,
        player_id,
        cut,
        value,
        balls,
        good,
        rate,
        (good + z * z / 2e0) / nullif(balls + z * z, 0e0) as middle,
        z * sqrt(rate * (balls - good) + z * z / 4e0) / nullif(balls + z * z, 0e0) as half_width
    from rated
)

-- At a rate of 0 or 1 one end is the rate itself; arithmetic would miss it by a hair.
select
    club_id,
    week,
    player_id,
    cut,
    value,
    balls,
    good,
    rate,
    case when good = 0 then rate else middle - half_width end as low,
    case when good = balls then rate else middle + half_width end as high
from ranged
