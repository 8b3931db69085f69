-- How alike two wanted combinations of one grid are: exp(-decay x distance), 1 for a combination with itself.
-- The distance is the sum over the dimensions of the gap between the two positions (Leinster & Cobbold 2012,
-- Ecology 93:477, for the use of such a table; the decay is a setting).
-- grain: club_id, target, applies_to, cell, other_cell
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   cell: the combination in words
--   other_cell: the combination it is compared with
--   likeness: 0 to 1 (share of 1)
-- checks:
--   stop: likeness > 0 and likeness <= 1
with

distances as (
    select
        a.club_id,
        a.target,
        a.applies_to,
        a.cell,
        b.cell as other_cell,
        sum(abs(a.position - b.position)) as distance
    from core.cell_values as a
    inner join core.cell_values as b
        on
            a.club_id = b.club_id
            and a.target = b.target
            and a.applies_to = b.applies_to
            and a.dimension = b.dimension
    group by a.club_id, a.target, a.applies_to, a.cell, b.cell
)

select
    d.club_id,
    d.target,
    d.applies_to,
    d.cell,
    d.other_cell,
    exp(-g.likeness_decay * d.distance) as likeness
from distances as d
inner join core.settings as g on d.club_id = g.club_id
