-- The players of the club as last loaded: one row per player.
-- grain: club_id, player_id
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   name: the name on the screens
--   handedness: the playing hand as it is now (right, left)
--   group_name: the training group (empty: not noted)
--   birth_year: year of birth (empty: not noted)
--   level: the club's own word for the level (empty: not noted)
--   joined_on: first day in the club (empty: not noted)
--   is_active: trains at present
--   consent_on: day on which the player, or a guardian, agreed to the keeping of this log (empty: not noted)
--   hand_since: first day on which the player plays with this hand, and not with the other (empty: always did)
select
    club_id,
    player as player_id,
    coalesce(name, player) as name,
    handedness,
    "group" as group_name,
    birth_year,
    level,
    joined_on,
    coalesce(active, true) as is_active,
    consent_on,
    hand_since
from log.players_in_force
