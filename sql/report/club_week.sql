-- The club's week: are the logs in, and sound?
-- grain: club_id, week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   sessions: sessions logged
--   players: players with a log
--   balls: balls fed
--   minutes: minutes of the blocks that note them (min; empty: none noted)
--   lines_refused: refused lines of the week that nobody has mended yet
--   players_active: players who train at present
--   players_with_log: of these, those with a log in the week
--   players_short_of_variety: active players with a target who cover less of its grid than the setting asks
with

logged as (
    select
        club_id,
        week,
        count(distinct session_id) as sessions,
        count(distinct player_id) as players,
        sum(balls) as balls,
        sum(cast(round(1e12 * minutes) as bigint)) / 1e12 as minutes
    from core.sessions
    group by club_id, week
),

refused as (
    select
        club_id,
        week,
        count(*) as lines_refused
    from core.refusals
    where fault = 1 and not is_mended
    group by club_id, week
),

trained as (
    select distinct
        club_id,
        week,
        player_id
    from core.sessions
),

active as (
    select
        v.club_id,
        v.week,
        count(*) as players_active,
        count(t.player_id) as players_with_log,
        count(case when v.grid_coverage < g.variety_short_share then 1 end) as players_short_of_variety
    from report.variety as v
    inner join core.players as p on v.club_id = p.club_id and v.player_id = p.player_id
    inner join core.settings as g on v.club_id = g.club_id
    left join trained as t on v.club_id = t.club_id and v.week = t.week and v.player_id = t.player_id
    where p.is_active
    group by v.club_id, v.week
),

every_week as (
    select club_id, week from core.weeks
    union
    select club_id, week from refused
)

select
    w.club_id,
    w.week,
    coalesce(l.sessions, 0) as sessions,
    coalesce(l.players, 0) as players,
    cast(coalesce(l.balls, 0) as bigint) as balls,
    l.minutes,
    coalesce(r.lines_refused, 0) as lines_refused,
    coalesce(a.players_active, 0) as players_active,
    coalesce(a.players_with_log, 0) as players_with_log,
    coalesce(a.players_short_of_variety, 0) as players_short_of_variety
from every_week as w
left join logged as l on w.club_id = l.club_id and w.week = l.week
left join refused as r on w.club_id = r.club_id and w.week = r.week
left join active as a on w.club_id = a.club_id and w.week = a.week
