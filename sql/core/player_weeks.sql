-- The weeks that concern each player: from the day of joining (or the first log, if earlier) to the club's last week.
-- A player with neither is there from the club's first week on.
-- grain: club_id, week, player_id
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   week_end: Sunday of the week
--   window_start: first day of the window
with

first_logs as (
    select
        club_id,
        player_id,
        min(session_date) as first_logged_on
    from core.fed_lines
    group by club_id, player_id
),

starts as (
    select
        p.club_id,
        p.player_id,
        least(coalesce(p.joined_on, f.first_logged_on), coalesce(f.first_logged_on, p.joined_on)) as starts_on
    from core.players as p
    left join first_logs as f on p.club_id = f.club_id and p.player_id = f.player_id
)

select
    w.club_id,
    w.week,
    s.player_id,
    w.week_end,
    w.window_start
from core.weeks as w
inner join starts as s on w.club_id = s.club_id and (s.starts_on is null or s.starts_on <= w.week_end)
