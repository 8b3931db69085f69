-- How alike two wanted combinations of one grid are: exp(-decay x distance), 1 for a combination with itself.
-- The distance is the sum over the dimensions of the gap between the two positions (Leinster & Cobbold 2012,
-- Ecology 93:477, for the use of such a table; the decay is a setting).
-- Only combinations that one player met within one window are compared: all pairs of a large grid would be too many.
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

met_together as (
    select distinct
        t.club_id,
        t.target,
        t.applies_to,
        a.cell,
        b.cell as other_cell
    from core.cell_weeks as a
    inner join core.cell_weeks as b on a.club_id = b.club_id and a.player_id = b.player_id
    inner join core.player_targets as t on a.club_id = t.club_id and a.player_id = t.player_id
    inner join core.settings as g on a.club_id = g.club_id
    where abs(date_diff('day', a.week, b.week)) < g.window_days
),

distances as (
    select
        m.club_id,
        m.target,
        m.applies_to,
        m.cell,
        m.other_cell,
        sum(cast(round(1e12 * abs(a.position - b.position)) as bigint)) / 1e12 as distance
    from met_together as m
    inner join core.cell_values as a
        on m.club_id = a.club_id and m.target = a.target and m.applies_to = a.applies_to and m.cell = a.cell
    inner join core.cell_values as b
        on
            m.club_id = b.club_id
            and m.target = b.target
            and m.applies_to = b.applies_to
            and m.other_cell = b.cell
            and a.dimension = b.dimension
    group by m.club_id, m.target, m.applies_to, m.cell, m.other_cell
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
