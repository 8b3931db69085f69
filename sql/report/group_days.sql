-- How much of a group's training is in the log, day by day: one row per week, group and day of the week.
-- grain: club_id, week, group_name, day
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   group_name: the training group (-: not noted)
--   day: day of the week
--   players_active: players of the group who train at present
--   players_with_log: of these, those with a log of the day
--   players_with_log_in_week: of these, those with a log in the week
-- checks:
--   stop: players_with_log <= players_with_log_in_week
--   stop: players_with_log_in_week <= players_active
select
    d.club_id,
    d.week,
    coalesce(p.group_name, '-') as group_name,
    d.day,
    count(*) as players_active,
    count(case when d.sessions > 0 then 1 end) as players_with_log,
    count(case when d.week_balls > 0 then 1 end) as players_with_log_in_week
from report.player_days as d
inner join core.players as p on d.club_id = p.club_id and d.player_id = p.player_id
where p.is_active
group by d.club_id, d.week, coalesce(p.group_name, '-'), d.day
