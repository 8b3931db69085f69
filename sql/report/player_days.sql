-- Who trained on which day: one row per week, player and day of the week.
-- grain: club_id, week, player_id, day
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   day: day of the week
--   sessions: sessions logged on the day (0: no log of the day)
--   balls: balls fed on the day
--   week_balls: balls fed in the week (0: no log of the week)
-- checks:
--   stop: balls <= week_balls
--   stop: (sessions = 0) = (balls = 0)
with

days_on(days) as (values (0), (1), (2), (3), (4), (5), (6)),

every_day as (
    select
        w.club_id,
        w.week,
        w.player_id,
        cast(w.week + d.days as date) as day
    from core.player_weeks as w
    cross join days_on as d
),

logged as (
    select
        club_id,
        player_id,
        session_date,
        count(*) as sessions,
        sum(balls) as balls
    from core.sessions
    group by club_id, player_id, session_date
)

select
    e.club_id,
    e.week,
    e.player_id,
    e.day,
    coalesce(l.sessions, 0) as sessions,
    cast(coalesce(l.balls, 0) as bigint) as balls,
    cast(coalesce(sum(l.balls) over (partition by e.club_id, e.week, e.player_id), 0) as bigint) as week_balls
from every_day as e
left join logged as l on e.club_id = l.club_id and e.player_id = l.player_id and e.day = l.session_date
