-- Whether a player's recent training can be judged at all, and since when there is no log: one row per player and week.
-- A player without a log in the window is absent from the log, which is not the same as absent from training.
-- grain: club_id, week, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   balls: balls fed in the window
--   last_logged_on: last day with a log, up to the week's Sunday (empty: no log yet)
--   days_since_log: days from then to the week's Sunday, or to the last day in the log if that is earlier (days; empty: no log yet)
--   standing: no_log (never yet), no_recent_log (none in the window), few_balls (fewer than the setting rate_balls), no_target, judged
-- checks:
--   stop: days_since_log is null or days_since_log >= 0
--   stop: (standing = 'no_log') = (last_logged_on is null)
with

cut_offs as (
    select
        club_id,
        max(session_date) as cut_off
    from core.sessions
    group by club_id
)

select
    v.club_id,
    v.week,
    v.player_id,
    v.balls,
    l.last_logged_on,
    date_diff('day', l.last_logged_on, least(w.week_end, c.cut_off)) as days_since_log,
    case
        when l.last_logged_on is null then 'no_log'
        when v.balls = 0 then 'no_recent_log'
        when v.balls < g.rate_balls then 'few_balls'
        when v.cells is null then 'no_target'
        else 'judged'
    end as standing
from report.variety as v
inner join core.weeks as w on v.club_id = w.club_id and v.week = w.week
inner join core.settings as g on v.club_id = g.club_id
inner join cut_offs as c on v.club_id = c.club_id
left join core.last_logs as l on v.club_id = l.club_id and v.week = l.week and v.player_id = l.player_id
