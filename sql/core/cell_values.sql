-- The grids in long form: one row per wanted combination and dimension that the target names.
-- `position` puts the value between 0 (first word of its list) and 1 (last word), so that neighbours are close.
-- grain: club_id, target, applies_to, cell, dimension
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   cell: the combination in words
--   dimension: in what the balls differ
--   value: the word of that dimension
--   position: place of the word in its list, 0 to 1 (share of 1)
-- checks:
--   stop: position >= 0 and position <= 1
select
    c.club_id,
    c.target,
    c.applies_to,
    c.cell,
    w.list as dimension,
    w.word as value,
    cast(w.rank - 1 as double) / nullif(w.words_in_list - 1, 0) as position
from core.grid_cells as c
inner join core.words as w
    on
        w.word = case w.list
            when '{dimension}' then c.{dimension}
        end
