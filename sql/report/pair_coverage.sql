-- How many pairs of values a player has covered, dimension by dimension: one row per player, week and two dimensions.
-- Balls are those of the window that ends with the week's Sunday.
-- grain: club_id, week, player_id, dimension, other_dimension
-- columns:
--   club_id: short name of the club
--   week: Monday of the ISO week
--   player_id: the club's code for the player
--   dimension: the first dimension
--   other_dimension: the second dimension
--   pairs: pairs of their values that the target's grid holds
--   pairs_covered: of these, pairs with enough balls in the window to be covered
--   share_covered: pairs_covered of pairs (share of 1)
-- checks:
--   stop: pairs_covered <= pairs
with

counted as (
    select
        club_id,
        week,
        player_id,
        dimension,
        other_dimension,
        count(*) as pairs,
        count(case when is_covered then 1 end) as pairs_covered
    from report.coverage_by_pair
    group by club_id, week, player_id, dimension, other_dimension
)

select
    club_id,
    week,
    player_id,
    dimension,
    other_dimension,
    pairs,
    pairs_covered,
    pairs_covered / nullif(pairs, 0) as share_covered
from counted
