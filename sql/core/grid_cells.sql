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
        depths.value as depth,
        sides.value as side,
        spin_families.value as spin_family,
        spins.value as spin,
        sidespins.value as sidespin,
        lengths.value as length,
        placements.value as placement,
        heights.value as height,
        tempo_bands.value as tempo_band,
        depths.share * sides.share * spin_families.share * spins.share * sidespins.share
        * lengths.share * placements.share * heights.share * tempo_bands.share as share
    from targets as t
    inner join choices as depths
        on
            depths.dimension = 'depth'
            and t.club_id = depths.club_id
            and t.target = depths.target
            and t.applies_to = depths.applies_to
    inner join choices as sides
        on
            sides.dimension = 'side'
            and t.club_id = sides.club_id
            and t.target = sides.target
            and t.applies_to = sides.applies_to
    inner join choices as spin_families
        on
            spin_families.dimension = 'spin_family'
            and t.club_id = spin_families.club_id
            and t.target = spin_families.target
            and t.applies_to = spin_families.applies_to
    inner join choices as spins
        on
            spins.dimension = 'spin'
            and t.club_id = spins.club_id
            and t.target = spins.target
            and t.applies_to = spins.applies_to
    inner join choices as sidespins
        on
            sidespins.dimension = 'sidespin'
            and t.club_id = sidespins.club_id
            and t.target = sidespins.target
            and t.applies_to = sidespins.applies_to
    inner join choices as lengths
        on
            lengths.dimension = 'length'
            and t.club_id = lengths.club_id
            and t.target = lengths.target
            and t.applies_to = lengths.applies_to
    inner join choices as placements
        on
            placements.dimension = 'placement'
            and t.club_id = placements.club_id
            and t.target = placements.target
            and t.applies_to = placements.applies_to
    inner join choices as heights
        on
            heights.dimension = 'height'
            and t.club_id = heights.club_id
            and t.target = heights.target
            and t.applies_to = heights.applies_to
    inner join choices as tempo_bands
        on
            tempo_bands.dimension = 'tempo_band'
            and t.club_id = tempo_bands.club_id
            and t.target = tempo_bands.target
            and t.applies_to = tempo_bands.applies_to
    where spins.value is null or spin_families.value is null or spins.family = spin_families.value
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
    share / nullif(round(sum(share) over (partition by club_id, target, applies_to), 12), 0e0) as wanted_share,
    count(*) over (partition by club_id, target, applies_to) as cells
from combinations
