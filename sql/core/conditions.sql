-- The kinds of ball that were ever fed: one row per condition.
-- grain: club_id, condition
-- columns:
--   club_id: short name of the club
--   condition: everything in which the fed ball may differ from another, in words
--   {dimension}: {meaning} (empty: not noted)
--   setup_id: the club's code for the setup
select distinct
    club_id,
    condition,
    {dimension},
    setup_id
from core.fed_lines
