-- The targets in force: one row per wanted value, its share scaled to 1 within its dimension.
-- grain: club_id, target, applies_to, dimension, value
-- columns:
--   club_id: short name of the club
--   target: the name of the target
--   applies_to: a player's code, a group, or * for everyone
--   dimension: in what the balls differ
--   value: the wanted word of that dimension
--   share: how much of it is wanted within the dimension (share of 1)
-- checks:
--   stop: share > 0 and share <= 1
select
    club_id,
    target,
    applies_to,
    dimension,
    value,
    share / nullif(round(sum(cast(round(1e12 * share) as bigint)) over (partition by club_id, target, applies_to, dimension) / 1e12, 11), 0e0) as share
from log.targets_in_force
where share > 0
