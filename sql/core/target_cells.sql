-- What each player should meet: one row per player and wanted combination of the player's target.
-- A dimension that the target does not name is empty: any.
-- grain: club_id, player_id, cell
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   target: the name of the player's target
--   applies_to: to whom that target applies
--   cell: the combination in words
--   {dimension}: {meaning} (empty: any)
--   wanted_share: how much of the player's balls should be so (share of 1)
--   cells: how many combinations the player's grid has
select
    p.club_id,
    p.player_id,
    p.target,
    p.applies_to,
    c.cell,
    c.{dimension},
    c.wanted_share,
    c.cells
from core.player_targets as p
inner join core.grid_cells as c on p.club_id = c.club_id and p.target = c.target and p.applies_to = c.applies_to
