-- The coverage of each value that a player's target names: how many of the combinations with that value are covered.
-- Balls are those of the window that ends with the week's Sunday.
-- grain: club_id, week, player_id, dimension, value
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   dimension: in what the balls differ
--   value: the wanted word of that dimension
--   cells: wanted combinations with that value
--   cells_covered: of these, combinations with enough balls in the window to be covered
--   share_covered: cells_covered of cells (share of 1)
--   balls: balls fed in the window that a wanted combination with that value describes
--   last_met_on: last day on which the player met such a ball (empty: never yet)
--   met_anyhow_on: last day on which the player met a ball of that value, wanted or not (empty: not once)
--   status: empty (never met), off_plan (met, but in no wanted combination), stale (met, but not in the window), touched (covered in part), covered (every combination)
-- checks:
--   stop: cells_covered <= cells
--   stop: (status in ('empty', 'off_plan')) = (last_met_on is null)
--   stop: (status = 'empty') = (met_anyhow_on is null)
with

anyhow as (
    select
        p.club_id,
        p.week,
        p.player_id,
        v.dimension,
        v.value,
        max(v.last_met_on) as met_anyhow_on
    from core.player_weeks as p
    inner join core.value_weeks as v on p.club_id = v.club_id and p.player_id = v.player_id and v.week <= p.week
    group by p.club_id, p.week, p.player_id, v.dimension, v.value
),

by_value as (
    select
        c.club_id,
        c.week,
        c.player_id,
        v.dimension,
        v.value,
        count(*) as cells,
        count(case when c.status = 'covered' then 1 end) as cells_covered,
        cast(sum(c.balls) as bigint) as balls,
        max(c.last_met_on) as last_met_on
    from report.coverage as c
    inner join core.player_targets as t on c.club_id = t.club_id and c.player_id = t.player_id
    inner join core.cell_values as v
        on
            t.club_id = v.club_id
            and t.target = v.target
            and t.applies_to = v.applies_to
            and c.cell = v.cell
    group by c.club_id, c.week, c.player_id, v.dimension, v.value
)

select
    b.club_id,
    b.week,
    b.player_id,
    b.dimension,
    b.value,
    b.cells,
    b.cells_covered,
    b.cells_covered / nullif(b.cells, 0) as share_covered,
    b.balls,
    b.last_met_on,
    a.met_anyhow_on,
    case
        when a.met_anyhow_on is null then 'empty'
        when b.last_met_on is null then 'off_plan'
        when b.balls = 0 then 'stale'
        when b.cells_covered = b.cells then 'covered'
        else 'touched'
    end as status
from by_value as b
left join anyhow as a
    on
        b.club_id = a.club_id
        and b.week = a.week
        and b.player_id = a.player_id
        and b.dimension = a.dimension
        and b.value = a.value
