-- How much each player trained in each week. A week without a log is missing, not rest: its figures are empty.
-- Description only: there are no zones and no ideal ratio, for the evidence behind them did not hold (Impellizzeri et al.
-- 2020, J. Athl. Train. 55:893; 2021, Sports Med. 51:581). Effort times minutes: Foster et al. 2001, J. Strength Cond. Res.
-- 15:109. Guidance for the young, read second-hand: no more organised hours a week than years of age (Jayanthi et al. 2015,
-- Am. J. Sports Med. 43:794), 16 at most (Brenner 2016, Pediatrics 138:e20162148). The club's own rules come first.
-- grain: club_id, week, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   sessions: logged sessions
--   minutes: minutes of the blocks that note them (min; empty: none noted)
--   balls: balls fed (empty: no log)
--   effort_load: sum over the sessions of effort (0 to 10) x minutes (empty: not noted)
--   weeks_compared: how many of the four weeks before have minutes noted
--   week_change: minutes of this week / their mean over those weeks (ratio; empty: nothing to compare)
--   guidance_hours: organised hours a week, of all sports, not to pass by that guidance (h; empty: of age, or no birth year)
-- checks:
--   stop: week_change is null or week_change >= 0
--   stop: (sessions = 0) = (balls is null)
--   stop: minutes is not null or (week_change is null and effort_load is null)
with

logged as (
    select
        club_id,
        week,
        player_id,
        count(*) as sessions,
        sum(cast(round(1e12 * minutes) as bigint)) / 1e12 as minutes,
        sum(balls) as balls,
        sum(cast(round(1e12 * (effort * minutes)) as bigint)) / 1e12 as effort_load
    from core.sessions
    group by club_id, week, player_id
),

before as (
    select
        n.club_id,
        n.week,
        n.player_id,
        count(b.minutes) as weeks_compared,
        sum(cast(round(1e12 * b.minutes) as bigint)) / 1e12 / nullif(count(b.minutes), 0) as mean_minutes
    from core.player_weeks as n
    inner join logged as b
        on
            n.club_id = b.club_id
            and n.player_id = b.player_id
            and date_diff('day', b.week, n.week) between 7 and 28
    group by n.club_id, n.week, n.player_id
)

select
    p.club_id,
    p.week,
    p.player_id,
    coalesce(n.sessions, 0) as sessions,
    n.minutes,
    cast(n.balls as bigint) as balls,
    n.effort_load,
    coalesce(b.weeks_compared, 0) as weeks_compared,
    n.minutes / nullif(b.mean_minutes, 0e0) as week_change,
    -- In the year in which somebody turns 18 they may still be 17.
    case when year(p.week) - y.birth_year <= 18 then cast(least(year(p.week) - y.birth_year, 16) as bigint) end
        as guidance_hours
from core.player_weeks as p
left join logged as n on p.club_id = n.club_id and p.week = n.week and p.player_id = n.player_id
left join before as b on p.club_id = b.club_id and p.week = b.week and p.player_id = b.player_id
left join core.players as y on p.club_id = y.club_id and p.player_id = y.player_id
