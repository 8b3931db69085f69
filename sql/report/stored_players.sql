-- Who is stored, and since when without a log: one row per player, active or not.
-- grain: club_id, player_id
-- columns:
--   club_id: short name of the club
--   player_id: the club's code for the player
--   name: the name on the screens
--   group_name: the training group (empty: none)
--   is_active: trains at present
--   consent_on: day on which the player, or a guardian, agreed (empty: not noted)
--   last_logged_on: last day with a log (empty: never yet)
--   last_known_on: the same, or for who never had a log the day on which a list of players was last loaded (empty: withdrawn)
with

last_logs as (
    select
        club_id,
        player_id,
        max(session_date) as last_logged_on
    from core.sessions
    group by club_id, player_id
),

last_lists as (
    select
        club_id,
        cast(max(loaded_at) as date) as last_listed_on
    from core.batches
    where kind = 'players' and withdrawn_at is null
    group by club_id
)

select
    p.club_id,
    p.player_id,
    p.name,
    p.group_name,
    p.is_active,
    p.consent_on,
    l.last_logged_on,
    coalesce(l.last_logged_on, c.last_listed_on) as last_known_on
from core.players as p
left join last_logs as l on p.club_id = l.club_id and p.player_id = l.player_id
left join last_lists as c on p.club_id = c.club_id
