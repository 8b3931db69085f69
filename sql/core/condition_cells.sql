-- Which wanted combination describes which kind of ball: one row per target and condition that falls into its grid.
-- grain: club_id, target, applies_to, condition
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   condition: everything in which the fed ball may differ from another, in words
--   cell: the wanted combination that describes it, in words
--   wanted_share: how much of the balls should be so (share of 1)
select
    g.club_id,
    g.target,
    g.applies_to,
    c.condition,
    g.cell,
    g.wanted_share
from core.grid_cells as g
inner join core.conditions as c
    on
        g.club_id = c.club_id
        and (g.{dimension} is null or g.{dimension} = c.{dimension})
