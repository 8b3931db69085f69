-- By whom a group's logs usually come: the coach who led most of its weeks before, as the lines note it.
-- grain: club_id, week, group_name
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week that is asked about
--   group_name: the training group (-: not noted)
--   coach: who led the group in most weeks of the window before this week; of several, who did last
--   weeks_led: in how many of these weeks
--   weeks_logged: weeks of the window before this week with a log of the group
-- checks:
--   stop: weeks_led <= weeks_logged
with

logged as (
    select distinct
        f.club_id,
        f.week,
        coalesce(p.group_name, '-') as group_name,
        f.coach
    from core.fed_lines as f
    inner join core.players as p on f.club_id = p.club_id and f.player_id = p.player_id
),

before as (
    select
        w.club_id,
        w.week,
        l.group_name,
        l.coach,
        l.week as week_before
    from core.weeks as w
    inner join logged as l on w.club_id = l.club_id
    where l.week < w.week and l.week >= w.window_start
),

weeks as (
    select
        club_id,
        week,
        group_name,
        count(distinct week_before) as weeks_logged
    from before
    group by club_id, week, group_name
),

led as (
    select
        club_id,
        week,
        group_name,
        coach,
        count(*) as weeks_led,
        row_number() over (
            partition by club_id, week, group_name
            order by count(*) desc, max(week_before) desc, coach
        ) as place
    from before
    where coach is not null
    group by club_id, week, group_name, coach
)

select
    l.club_id,
    l.week,
    l.group_name,
    l.coach,
    l.weeks_led,
    w.weeks_logged
from led as l
inner join weeks as w on l.club_id = w.club_id and l.week = w.week and l.group_name = w.group_name
where l.place = 1
