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
with

named_values as (
    select
        club_id,
        target,
        applies_to,
        cell,
        'depth' as dimension,
        depth as value
    from core.grid_cells
    where depth is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'side' as dimension,
        side as value
    from core.grid_cells
    where side is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'spin_family' as dimension,
        spin_family as value
    from core.grid_cells
    where spin_family is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'spin' as dimension,
        spin as value
    from core.grid_cells
    where spin is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'sidespin' as dimension,
        sidespin as value
    from core.grid_cells
    where sidespin is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'length' as dimension,
        length as value
    from core.grid_cells
    where length is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'placement' as dimension,
        placement as value
    from core.grid_cells
    where placement is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'height' as dimension,
        height as value
    from core.grid_cells
    where height is not null
    union all
    select
        club_id,
        target,
        applies_to,
        cell,
        'tempo_band' as dimension,
        tempo_band as value
    from core.grid_cells
    where tempo_band is not null
)

select
    v.club_id,
    v.target,
    v.applies_to,
    v.cell,
    v.dimension,
    v.value,
    cast(w.rank - 1 as double) / (w.words_in_list - 1) as position
from named_values as v
inner join core.words as w on v.dimension = w.list and v.value = w.word
