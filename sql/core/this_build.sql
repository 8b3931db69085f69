-- What this build is: one row.
-- grain: number
-- columns:
--   number: number of the publication
--   built_at: when it was built (UTC)
--   software_version: version of Halflong that built it
--   settings: the club's settings in force, as JSON
--   models_sha256: fingerprint of the models that it was built by
--   made_from: Monday from which weeks were made anew, the earlier ones carried over (empty: all were made anew)
select
    number,
    built_at,
    software_version,
    settings,
    models_sha256,
    cast(made_from as date) as made_from
from log.build
