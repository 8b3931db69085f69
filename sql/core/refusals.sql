-- Every fault of the refused lines of the batches in force, and whether the line has been mended since.
-- A later line takes its place by naming it (its column `mends`, as our refusal files do), or by standing at the same
-- line of a file of the same name and being of the same day.
-- grain: club_id, batch, line, fault
-- columns:
--   club_id: short name of the club
--   batch: number of the batch
--   line: line of the file
--   fault: number of the fault within the line, from 1
--   file_name: name of the file
--   kind: what kind of log the file was
--   week: Monday of the week that the line belongs to; of the file's last day where the line's own is no past day
--   column_name: the column at fault (empty: the line as a whole)
--   seen: the value seen
--   expected: what was expected
--   to_do: what to do
--   cells: the cells of the line as typed, a JSON list
--   is_mended: a later batch in force has the line in its place
with

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
    where a.session_date <= cast(b.loaded_at as date) + 1
    group by a.club_id, a.batch
)

select
    r.club_id,
    r.batch,
    r.line,
    r.fault,
    b.file_name,
    b.kind,
    cast(
        date_trunc(
            'week',
            case
                when r.session_date <= cast(b.loaded_at as date) + 1 then r.session_date
                else coalesce(d.last_day, cast(b.loaded_at as date))
            end
        ) as date
    ) as week,
    r.column_name,
    r.seen,
    r.expected,
    r.to_do,
    r.cells,
    exists (
        select 1
        from in_force as a
        where
            a.club_id = r.club_id
            and a.batch > r.batch
            and (
                a.mends = concat(cast(r.batch as varchar), ':', cast(r.line as varchar))
                or (
                    a.file_name = b.file_name
                    and a.line = r.line
                    and (r.session_date is null or a.session_date is null or a.session_date = r.session_date)
                )
            )
    ) as is_mended
from log.refusals as r
inner join log.batches as b on r.club_id = b.club_id and r.batch = b.batch
left join last_days as d on r.club_id = d.club_id and r.batch = d.batch
where b.withdrawn_at is null
