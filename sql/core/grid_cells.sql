-- The grids of the targets: one row per wanted combination, every combination of a target's values.
-- A dimension that the target does not name is empty: any. Spins outside the named family make no combination.
-- grain: club_id, target, applies_to, cell
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   cell: the combination in words
--   {dimension}: {meaning} (empty: any)
--   wanted_share: the product of the shares, scaled to 1 over the grid (share of 1)
--   cells: how many combinations the grid has
-- checks:
--   stop: wanted_share > 0 and wanted_share <= 1
with

targets as (
    select distinct
        club_id,
        target,
        applies_to
    from core.target_shares
),

-- One empty value, with all of the share, stands for a dimension that the target does not name.
choices as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        d.word as dimension,
        s.value,
        f.family,
        coalesce(s.share, 1e0) as share
    from targets as t
    inner join core.words as d on d.list = 'dimension'
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and d.word = s.dimension
    left join core.words as f on d.word = f.list and s.value = f.word
),

combinations as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        of_{dimension}.value as {dimension},
        of_{dimension}.share *
        1e0 as share
    from targets as t
    inner join choices as of_{dimension} on of_{dimension}.dimension = '{dimension}' and t.club_id = of_{dimension}.club_id and t.target = of_{dimension}.target and t.applies_to = of_{dimension}.applies_to
    where of_spin.value is null or of_spin_family.value is null or of_spin.family = of_spin_family.value
)

select
    club_id,
    target,
    applies_to,
    concat_ws(
        ' | ',
        {dimension},
        null
    ) as cell,
    {dimension},
    least(1e0, share / nullif(round(sum(cast(round(1e12 * share) as bigint)) over (partition by club_id, target, applies_to) / 1e12, 11), 0e0)) as wanted_share,
    count(*) over (partition by club_id, target, applies_to) as cells
from combinations
