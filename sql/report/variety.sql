-- How varied each player's recent training was, measured on the grid of the player's target, over the window.
-- Shares are taken over the balls that fell into the grid. Formulas: Shannon 1948 and Hill 1973 (effective_conditions),
-- Pielou 1966 on the target grid (evenness), NISTIR 7878 (pair_coverage), Leinster & Cobbold 2012 (distinct_conditions),
-- Lin 1991 in bits (plan_distance), Watanabe 1960 in nats (total_correlation). With fewer balls per combination than the
-- setting spread_balls, chance alone makes a mix look uneven: then coverage stands alone and the others are empty.
-- grain: club_id, week, player_id
-- carried: by week
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   balls: balls fed in the window
--   sessions: sessions in the window
--   balls_in_grid: of the balls, those that a wanted combination describes
--   cells: wanted combinations, the size of the grid (empty: the player has no target)
--   cells_met: wanted combinations met in the window (empty: the player has no target)
--   cells_covered: wanted combinations with enough balls in the window to be covered (empty: the player has no target)
--   grid_coverage: cells_covered of cells (share of 1; empty: the player has no target)
--   pairs: pairs of values that the grid holds (empty: fewer than two dimensions)
--   pairs_covered: pairs with enough balls in the window to be covered (empty: fewer than two dimensions)
--   pair_coverage: pairs_covered of pairs (share of 1; empty: fewer than two dimensions)
--   effective_conditions: as if so many combinations had been trained equally (combinations; empty: too few balls)
--   dominant_conditions: as effective_conditions, but those of few balls hardly count: Hill's q = 2 (combinations; empty: too few balls)
--   evenness: 1 = the balls are spread evenly over the whole grid (share of 1; empty: one combination only)
--   distinct_conditions: as effective_conditions, but two that differ little count as less than two (combinations; empty: too few balls)
--   most_distinct_conditions: what distinct_conditions could reach at most on this grid (combinations; empty: the player has no target)
--   share_to_move: balls that would have to be others to meet the plan (share of 1; empty: too few balls)
--   plan_distance: 0 = just as planned, 1 = nothing in common with the plan (bits; empty: too few balls)
--   total_correlation: 0 = dimensions combined freely; large = the same spin always from the same place (nats; empty: too few balls)
-- checks:
--   stop: grid_coverage is null or (grid_coverage >= 0 and grid_coverage <= 1)
--   stop: effective_conditions is null or effective_conditions <= cells + 1e-9
--   stop: dominant_conditions is null or dominant_conditions <= effective_conditions + 1e-9
--   stop: share_to_move is null or (share_to_move >= 0 and share_to_move <= 1)
--   stop: plan_distance is null or (plan_distance >= 0 and plan_distance <= 1)
--   stop: cells is not null or most_distinct_conditions is null
--   stop: cells is not null or (pairs is null and effective_conditions is null)
--   stop: effective_conditions is not null or evenness is null
with

all_balls as (
    select
        p.club_id,
        p.week,
        p.player_id,
        sum(s.balls) as balls,
        count(*) as sessions
    from core.player_weeks as p
    inner join core.sessions as s
        on
            p.club_id = s.club_id
            and p.player_id = s.player_id
            and s.week >= p.window_start
            and s.week <= p.week
    group by p.club_id, p.week, p.player_id
),

grids as (
    select
        club_id,
        player_id,
        target,
        applies_to,
        max(cells) as cells
    from core.target_cells
    group by club_id, player_id, target, applies_to
),

met as (
    select
        p.club_id,
        p.week,
        p.player_id,
        c.cell,
        cast(sum(c.balls) as bigint) as balls
    from core.player_weeks as p
    inner join core.cell_weeks as c
        on
            p.club_id = c.club_id
            and p.player_id = c.player_id
            and c.week >= p.window_start
            and c.week <= p.week
    group by p.club_id, p.week, p.player_id, c.cell
),

mix as (
    select
        m.club_id,
        m.week,
        m.player_id,
        g.target,
        g.applies_to,
        m.cell,
        m.balls,
        m.balls / nullif(sum(m.balls) over (partition by m.club_id, m.week, m.player_id), 0) as share
    from met as m
    inner join grids as g on m.club_id = g.club_id and m.player_id = g.player_id
),

spread as (
    select
        x.club_id,
        x.week,
        x.player_id,
        cast(sum(x.balls) as bigint) as balls_in_grid,
        count(*) as cells_met,
        count(case when x.balls >= g.covered_balls then 1 end) as cells_covered,
        0e0 - sum(cast(round(1e15 * (x.share * ln(x.share))) as bigint)) / 1e15 as entropy,
        sum(cast(round(1e15 * (x.share * x.share)) as bigint)) / 1e15 as same_twice
    from mix as x
    inner join core.settings as g on x.club_id = g.club_id
    group by x.club_id, x.week, x.player_id
),

enough as (
    select
        s.club_id,
        s.week,
        s.player_id,
        s.entropy,
        s.same_twice
    from spread as s
    inner join core.settings as g on s.club_id = g.club_id
    inner join grids as r on s.club_id = r.club_id and s.player_id = r.player_id
    where s.balls_in_grid >= g.spread_balls * r.cells
),

pairs_met as (
    select
        x.club_id,
        x.week,
        x.player_id,
        c.pair,
        sum(x.balls) as balls
    from mix as x
    inner join core.cell_pairs as c
        on x.club_id = c.club_id and x.target = c.target and x.applies_to = c.applies_to and x.cell = c.cell
    group by x.club_id, x.week, x.player_id, c.pair
),

pairs_covered as (
    select
        m.club_id,
        m.week,
        m.player_id,
        count(*) as pairs_covered
    from pairs_met as m
    inner join core.settings as g on m.club_id = g.club_id and m.balls >= g.covered_balls
    group by m.club_id, m.week, m.player_id
),

pairs_wanted as (
    select
        club_id,
        target,
        applies_to,
        count(distinct pair) as pairs
    from core.cell_pairs
    group by club_id, target, applies_to
),

ordinary as (
    select
        x.club_id,
        x.week,
        x.player_id,
        x.cell,
        x.share,
        sum(cast(round(1e15 * (l.likeness * y.share)) as bigint)) / 1e15 as ordinariness
    from mix as x
    inner join mix as y on x.club_id = y.club_id and x.week = y.week and x.player_id = y.player_id
    inner join core.cell_likeness as l
        on
            x.club_id = l.club_id
            and x.target = l.target
            and x.applies_to = l.applies_to
            and x.cell = l.cell
            and y.cell = l.other_cell
    group by x.club_id, x.week, x.player_id, x.cell, x.share
),

distinctness as (
    select
        club_id,
        week,
        player_id,
        exp(0e0 - sum(cast(round(1e15 * (share * ln(ordinariness))) as bigint)) / 1e15) as distinct_conditions
    from ordinary
    group by club_id, week, player_id
),

-- A combination never met adds half its wanted share, so together they add half of what the met ones leave.
plan as (
    select
        x.club_id,
        x.week,
        x.player_id,
        0.5e0 * sum(
            cast(
                round(
                    1e15 * (
                        x.share * ln(x.share)
                        + t.wanted_share * ln(t.wanted_share)
                        - (x.share + t.wanted_share) * ln((x.share + t.wanted_share) / 2e0)
                    )
                ) as bigint
            )
        ) / 1e15
        / ln(2e0)
        + 0.5e0 * (1e0 - sum(cast(round(1e15 * t.wanted_share) as bigint)) / 1e15) as plan_distance,
        0.5e0 * (
            sum(cast(round(1e15 * abs(x.share - t.wanted_share)) as bigint)) / 1e15
            + 1e0 - sum(cast(round(1e15 * t.wanted_share) as bigint)) / 1e15
        ) as share_to_move
    from mix as x
    inner join core.target_cells as t
        on x.club_id = t.club_id and x.player_id = t.player_id and x.cell = t.cell
    group by x.club_id, x.week, x.player_id
),

value_shares as (
    select
        x.club_id,
        x.week,
        x.player_id,
        v.dimension,
        v.value,
        sum(cast(round(1e15 * x.share) as bigint)) / 1e15 as share
    from mix as x
    inner join core.cell_values as v
        on x.club_id = v.club_id and x.target = v.target and x.applies_to = v.applies_to and x.cell = v.cell
    group by x.club_id, x.week, x.player_id, v.dimension, v.value
),

single_entropy as (
    select
        club_id,
        week,
        player_id,
        0e0 - sum(cast(round(1e15 * (share * ln(share))) as bigint)) / 1e15 as entropy
    from value_shares
    group by club_id, week, player_id
)

select
    p.club_id,
    p.week,
    p.player_id,
    cast(coalesce(a.balls, 0) as bigint) as balls,
    coalesce(a.sessions, 0) as sessions,
    coalesce(s.balls_in_grid, 0) as balls_in_grid,
    g.cells,
    case when g.cells is not null then coalesce(s.cells_met, 0) end as cells_met,
    case when g.cells is not null then coalesce(s.cells_covered, 0) end as cells_covered,
    coalesce(s.cells_covered, 0) / nullif(g.cells, 0) as grid_coverage,
    w.pairs,
    case when w.pairs is not null then coalesce(c.pairs_covered, 0) end as pairs_covered,
    coalesce(c.pairs_covered, 0) / nullif(w.pairs, 0) as pair_coverage,
    exp(e.entropy) as effective_conditions,
    1e0 / nullif(e.same_twice, 0e0) as dominant_conditions,
    e.entropy / nullif(ln(cast(g.cells as double)), 0e0) as evenness,
    d.distinct_conditions,
    m.most_distinct_conditions,
    -- The last bits of a sum can stray beyond the ends; an empty value stays empty.
    case when l.share_to_move is not null then least(greatest(l.share_to_move, 0e0), 1e0) end as share_to_move,
    case when l.plan_distance is not null then least(greatest(l.plan_distance, 0e0), 1e0) end as plan_distance,
    case when e.entropy is not null then greatest(v.entropy - e.entropy, 0e0) end as total_correlation
from core.player_weeks as p
left join grids as g on p.club_id = g.club_id and p.player_id = g.player_id
left join all_balls as a on p.club_id = a.club_id and p.week = a.week and p.player_id = a.player_id
left join spread as s on p.club_id = s.club_id and p.week = s.week and p.player_id = s.player_id
left join pairs_wanted as w on g.club_id = w.club_id and g.target = w.target and g.applies_to = w.applies_to
left join pairs_covered as c on p.club_id = c.club_id and p.week = c.week and p.player_id = c.player_id
left join core.grid_maxima as m on g.club_id = m.club_id and g.target = m.target and g.applies_to = m.applies_to
left join enough as e on p.club_id = e.club_id and p.week = e.week and p.player_id = e.player_id
left join distinctness as d on e.club_id = d.club_id and e.week = d.week and e.player_id = d.player_id
left join plan as l on e.club_id = l.club_id and e.week = l.week and e.player_id = l.player_id
left join single_entropy as v on e.club_id = v.club_id and e.week = v.week and e.player_id = v.player_id
