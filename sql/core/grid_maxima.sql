-- The most distinct conditions that any mix over a target's grid can reach: one row per target.
-- Words of a dimension stand at places on a line, and a line of points reaches 1 plus the sum over its gaps of
-- tanh(decay x gap / 2); a grid reaches the product over its dimensions (Leinster & Meckes 2016, Entropy 18:88). Spin
-- and its family move together, so they count as one dimension.
-- grain: club_id, target, applies_to
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   most_distinct_conditions: what distinct_conditions can reach at most (combinations)
-- checks:
--   stop: most_distinct_conditions >= 1
with

placed as (
    select
        club_id,
        target,
        applies_to,
        cell,
        case when dimension = 'spin_family' then 'spin' else dimension end as line,
        sum(cast(round(1e12 * position) as bigint)) / 1e12 as place
    from core.cell_values
    group by club_id, target, applies_to, cell, case when dimension = 'spin_family' then 'spin' else dimension end
),

places as (
    select distinct
        club_id,
        target,
        applies_to,
        line,
        place
    from placed
),

gaps as (
    select
        club_id,
        target,
        applies_to,
        line,
        place - lag(place) over (partition by club_id, target, applies_to, line order by place) as gap
    from places
),

lines as (
    select
        p.club_id,
        p.target,
        p.applies_to,
        p.line,
        1e0 + sum(
            cast(
                round(
                    1e12 * coalesce(
                        (exp(s.likeness_decay * p.gap) - 1e0) / nullif(exp(s.likeness_decay * p.gap) + 1e0, 0e0),
                        0e0
                    )
                ) as bigint
            )
        ) / 1e12 as reach
    from gaps as p
    inner join core.settings as s on p.club_id = s.club_id
    group by p.club_id, p.target, p.applies_to, p.line
)

select
    club_id,
    target,
    applies_to,
    exp(sum(cast(round(1e12 * ln(reach)) as bigint)) / 1e12) as most_distinct_conditions
from lines
group by club_id, target, applies_to
