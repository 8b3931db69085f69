-- Which of the player's wanted combinations describes which kind of ball: one row per player and condition of the grid.
-- grain: club_id, player_id, condition
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   condition: everything in which the fed ball may differ from another, in words
--   cell: the wanted combination that describes it, in words
--   wanted_share: how much of the player's balls should be so (share of 1)
select
    t.club_id,
    t.player_id,
    c.condition,
    c.cell,
    c.wanted_share
from core.player_targets as t
inner join core.condition_cells as c
    on t.club_id = c.club_id and t.target = c.target and t.applies_to = c.applies_to
