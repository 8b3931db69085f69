-- The pairs of values that each wanted combination holds: one row per combination and pair of named dimensions.
-- Two-way coverage counts these pairs: has every spin met every position, every tempo, and so on.
-- grain: club_id, target, applies_to, cell, dimension, other_dimension
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   cell: the combination in words
--   dimension: the first dimension
--   other_dimension: the second dimension
--   pair: the two values in words
select
    a.club_id,
    a.target,
    a.applies_to,
    a.cell,
    a.dimension,
    b.dimension as other_dimension,
    concat(a.dimension, ' ', a.value, ' with ', b.dimension, ' ', b.value) as pair
from core.cell_values as a
inner join core.cell_values as b
    on
        a.club_id = b.club_id
        and a.target = b.target
        and a.applies_to = b.applies_to
        and a.cell = b.cell
        and a.dimension < b.dimension
