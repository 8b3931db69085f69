-- This publication: one row.
-- grain: number
-- columns:
--   number: number of the publication
--   built_at: when it was built (UTC)
--   software_version: version of Halflong that built it
--   settings: the club's settings in force, as JSON
--   cut_off: last day in the log (empty: no log yet)
--   batches: batches in force
--   players: players
--   lines: log lines in force
--   balls: balls in force
select
    b.number,
    b.built_at,
    b.software_version,
    b.settings,
    (select max(session_date) from core.fed_lines) as cut_off,
    (select count(*) from core.batches where withdrawn_at is null) as batches,
    (select count(*) from core.players) as players,
    (select count(*) from core.fed_lines) as lines,
    (select cast(coalesce(sum(balls), 0) as bigint) from core.fed_lines) as balls
from core.this_build as b
