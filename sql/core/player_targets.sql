-- The one target of each player: the one for the player, else for the group, else for everyone.
-- grain: club_id, player_id
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   target: the name of the target
--   applies_to: to whom that target applies: the player, the group, or *
with

targets as (
    select distinct
        club_id,
        target,
        applies_to
    from core.target_shares
),

fitting as (
    select
        p.club_id,
        p.player_id,
        t.target,
        t.applies_to,
        case t.applies_to
            when p.player_id then 1
            when p.group_name then 2
            else 3
        end as distance
    from core.players as p
    inner join targets as t
        on p.club_id = t.club_id and (t.applies_to = p.player_id or t.applies_to = p.group_name or t.applies_to = '*')
)

select
    club_id,
    player_id,
    target,
    applies_to
from fitting
qualify row_number() over (partition by club_id, player_id order by distance, target) = 1
