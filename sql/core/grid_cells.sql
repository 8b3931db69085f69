-- The grids of the targets: one row per wanted combination, every combination of a target's values.
-- A dimension that the target does not name is empty: any. Spins outside the named family make no combination.
-- grain: club_id, target, applies_to, cell
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   cell: the combination in words
--   depth: back, middle, near (empty: any)
--   side: forehand, centre, backhand (empty: any)
--   spin_family: backspin, no_spin, topspin (empty: any)
--   spin: the spin of the fed ball (empty: any)
--   sidespin: left, none, right (empty: any)
--   length: short, half_long, long (empty: any)
--   placement: where the ball comes, as the player sees it (empty: any)
--   height: low, medium, high (empty: any)
--   tempo_band: slow, medium, fast (empty: any)
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

depths as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as depth,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'depth'
),

sides as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as side,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'side'
),

spin_families as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as spin_family,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'spin_family'
),

spins as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as spin,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'spin'
),

sidespins as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as sidespin,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'sidespin'
),

lengths as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as length,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'length'
),

placements as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as placement,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'placement'
),

heights as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as height,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'height'
),

tempo_bands as (
    select
        t.club_id,
        t.target,
        t.applies_to,
        s.value as tempo_band,
        coalesce(s.share, 1e0) as share
    from targets as t
    left join core.target_shares as s
        on t.club_id = s.club_id and t.target = s.target and t.applies_to = s.applies_to and s.dimension = 'tempo_band'
),

families as (
    select
        word as spin,
        family
    from core.words
    where list = 'spin'
),

combinations as (
    select
        depths.club_id,
        depths.target,
        depths.applies_to,
        depths.depth,
        sides.side,
        spin_families.spin_family,
        spins.spin,
        sidespins.sidespin,
        lengths.length,
        placements.placement,
        heights.height,
        tempo_bands.tempo_band,
        depths.share * sides.share * spin_families.share * spins.share * sidespins.share
        * lengths.share * placements.share * heights.share * tempo_bands.share as share
    from depths
    inner join sides
        on depths.club_id = sides.club_id and depths.target = sides.target and depths.applies_to = sides.applies_to
    inner join spin_families
        on depths.club_id = spin_families.club_id and depths.target = spin_families.target and depths.applies_to = spin_families.applies_to
    inner join spins
        on depths.club_id = spins.club_id and depths.target = spins.target and depths.applies_to = spins.applies_to
    inner join sidespins
        on depths.club_id = sidespins.club_id and depths.target = sidespins.target and depths.applies_to = sidespins.applies_to
    inner join lengths
        on depths.club_id = lengths.club_id and depths.target = lengths.target and depths.applies_to = lengths.applies_to
    inner join placements
        on depths.club_id = placements.club_id and depths.target = placements.target and depths.applies_to = placements.applies_to
    inner join heights
        on depths.club_id = heights.club_id and depths.target = heights.target and depths.applies_to = heights.applies_to
    inner join tempo_bands
        on depths.club_id = tempo_bands.club_id and depths.target = tempo_bands.target and depths.applies_to = tempo_bands.applies_to
    left join families as f on spins.spin = f.spin
    where spins.spin is null or spin_families.spin_family is null or spin_families.spin_family = f.family
)

select
    club_id,
    target,
    applies_to,
    concat_ws(' | ', depth, side, spin_family, spin, sidespin, length, placement, height, tempo_band) as cell,
    depth,
    side,
    spin_family,
    spin,
    sidespin,
    length,
    placement,
    height,
    tempo_band,
    share / sum(share) over (partition by club_id, target, applies_to) as wanted_share,
    count(*) over (partition by club_id, target, applies_to) as cells
from combinations
