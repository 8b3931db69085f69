-- Every fault of the refused lines of the batches in force, and whether the line has been mended since.
-- A line in force takes its place by naming it (its column `mends`, as our refusal files do), or by standing, later, at
-- the same line of a file of the same name and being of the same day.
-- grain: club_id, batch, line, fault
-- columns:
--   club_id: short name of the club
--   batch: number of the batch
--   line: line of the file
--   fault: number of the fault within the line, from 1
--   file_name: name of the file
--   kind: what kind of log the file was
--   day: day that the line belongs to; the file's last day where the line's own is no past day
--   week: Monday of its ISO week
--   column_name: the column at fault (empty: the line as a whole)
--   seen: the value seen
--   expected: what was expected
--   to_do: what to do
--   cells: the cells of the line as typed, a JSON list
--   line_name: how a line that mends this one names it: the first twelve signs of its file's SHA-256, colon, line
--   is_mended: another line in force has its place, or this one was left out for good
with

refused_files as (
    select distinct b.file_name
    from log.refusals as r
    inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch
),

later_lines as (
    select club_id, batch, line, mends, session_date as session_date from log.sessions
    union all
    select club_id, batch, line, mends, session_date as session_date from log.balls
    union all
    select club_id, batch, line, mends, cast(null as date) as session_date from log.players
    union all
    select club_id, batch, line, mends, cast(null as date) as session_date from log.setups
    union all
    select club_id, batch, line, mends, cast(null as date) as session_date from log.targets
    union all
    select club_id, batch, line, mends, cast(null as date) as session_date from log.feeders
    union all
    select club_id, batch, line, mends, cast(null as date) as session_date from log.landings
    union all
    select club_id, batch, line, mends, session_date from log.refusals where fault = 1
),

in_force as (
    select
        a.club_id,
        a.batch,
        a.line,
        a.mends,
        a.session_date,
        b.file_name
    from later_lines as a
    inner join log.batches as b on a.club_id = b.club_id and a.batch = b.batch
    where b.withdrawn_at is null and (a.mends is not null or b.file_name in (select file_name from refused_files))
),

-- Joined by equality only: a condition that compares every refusal with every line would take as long as both together.
named as (
    select club_id, mends, max(batch) as batch
    from in_force
    where mends is not null
    group by club_id, mends
),

places as (
    select
        club_id,
        file_name,
        line,
        max(batch) as batch,
        max(case when session_date is null then batch end) as undated_batch
    from in_force
    group by club_id, file_name, line
),

dated_places as (
    select club_id, file_name, line, session_date, max(batch) as batch
    from in_force
    where session_date is not null
    group by club_id, file_name, line, session_date
),

refused as (
    select
        r.*,
        b.file_name,
        b.kind,
        b.loaded_at,
        concat(left(b.file_sha256, 12), ':', cast(r.line as varchar)) as line_name,
        concat(cast(r.batch as varchar), ':', cast(r.line as varchar)) as batch_and_line
    from log.refusals as r
    inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch
    where b.withdrawn_at is null
),

-- A day more than the day of loading may be today already, east of where the clock of loaded_at (UTC) counts.
last_days as (
    select
        a.club_id,
        a.batch,
        max(a.session_date) as last_day
    from later_lines as a
    inner join log.batches as b on a.club_id = b.club_id and a.batch = b.batch
    where a.session_date <= cast(b.loaded_at as date) + 1 and a.batch in (select batch from log.refusals)
    group by a.club_id, a.batch
),

dated as (
    select
        r.*,
        case
            when r.session_date <= cast(r.loaded_at as date) + 1 then r.session_date
            else coalesce(d.last_day, cast(r.loaded_at as date))
        end as day
    from refused as r
    left join last_days as d on r.club_id = d.club_id and r.batch = d.batch
)

-- Files to mend that were written before lines were named by their file name them by their batch.
select
    r.club_id,
    r.batch,
    r.line,
    r.fault,
    r.file_name,
    r.kind,
    r.day,
    cast(date_trunc('week', r.day) as date) as week,
    r.column_name,
    r.seen,
    r.expected,
    r.to_do,
    r.cells,
    r.line_name,
    n.batch is not null
    or coalesce(r.column_name, '') = 'left_out_because'
    or coalesce(o.batch, 0) > r.batch
    or coalesce(case when r.session_date is null then p.batch else p.undated_batch end, 0) > r.batch
    or coalesce(s.batch, 0) > r.batch as is_mended
from dated as r
left join named as n on r.club_id = n.club_id and r.line_name = n.mends
left join named as o on r.club_id = o.club_id and r.batch_and_line = o.mends
left join places as p on r.club_id = p.club_id and r.file_name = p.file_name and r.line = p.line
left join dated_places as s
    on r.club_id = s.club_id and r.file_name = s.file_name and r.line = s.line and r.session_date = s.session_date
