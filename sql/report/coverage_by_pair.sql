-- Which two values a player has met together: one row per player, week and pair of values that the target's grid holds.
-- Even shares of every single value can hide that the same spin always comes from the same place; pairs show it.
-- Counted as in NISTIR 7878, over the balls of the window that ends with the week's Sunday.
-- grain: club_id, week, player_id, dimension, value, other_dimension, other_value
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   dimension: the first dimension
--   value: its word
--   other_dimension: the second dimension
--   other_value: its word
--   balls: balls fed in the window with both values, among the wanted combinations
--   is_covered: there are enough balls for the pair to be covered
-- checks:
--   stop: balls >= 0
with

pairs as (
    select
        a.club_id,
        a.target,
        a.applies_to,
        a.cell,
        a.dimension,
        a.value,
        b.dimension as other_dimension,
        b.value as other_value
    from core.cell_values as a
    inner join core.cell_values as b
        on
            a.club_id = b.club_id
            and a.target = b.target
            and a.applies_to = b.applies_to
            and a.cell = b.cell
            and a.dimension < b.dimension
),

met as (
    select
        c.club_id,
        c.week,
        c.player_id,
        p.dimension,
        p.value,
        p.other_dimension,
        p.other_value,
        cast(sum(c.balls) as bigint) as balls
    from report.coverage as c
    inner join core.player_targets as t on c.club_id = t.club_id and c.player_id = t.player_id
    inner join pairs as p
        on
            t.club_id = p.club_id
            and t.target = p.target
            and t.applies_to = p.applies_to
            and c.cell = p.cell
    group by c.club_id, c.week, c.player_id, p.dimension, p.value, p.other_dimension, p.other_value
)

select
    m.club_id,
    m.week,
    m.player_id,
    m.dimension,
    m.value,
    m.other_dimension,
    m.other_value,
    m.balls,
    m.balls >= g.covered_balls as is_covered
from met as m
inner join core.settings as g on m.club_id = g.club_id
