-- What this build is: one row.
-- grain: number
-- columns:
--   number: number of the publication
--   built_at: when it was built (UTC)
--   software_version: version of Halflong that built it
--   settings: the club's settings in force, as JSON
select
    number,
    built_at,
    software_version,
    settings
from log.build
