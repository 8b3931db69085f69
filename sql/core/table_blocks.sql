-- Blocks that were counted at the table, in force: one row per batch, player and session. Who counted is who was signed
-- in; the coach is whom that person noted as one.
-- grain: club_id, batch, player_id, session_id
-- carried: by session
-- columns:
--   club_id: short name of the club
--   batch: number of the batch
--   player_id: the club's code for the player
--   session_id: day and label of the session
--   session_date: day of the session
--   block: drill block within the session, from 1
--   balls: balls fed
--   good: balls that landed where the drill asked
--   counted_by: who was signed in and counted
--   coach: whom they noted as the coach (empty: nobody)
--   loaded_at: when it came in (UTC)
--   is_own: the player, or a guardian for them, counted it
--   accepted_by: the coach or coordinator who accepted it (empty: nobody has, or it needs nobody)
-- checks:
--   stop: good <= balls
select
    l.club_id,
    l.batch,
    l.player as player_id,
    concat(cast(l.session_date as varchar), '/', l.session) as session_id,
    l.session_date,
    max(l.block) as block,
    count(*) as balls,
    count(case when l.outcome = 'good' then 1 end) as good,
    max(b.loaded_by) as counted_by,
    max(l.coach) as coach,
    max(b.loaded_at) as loaded_at,
    max(case when b.is_own then 1 else 0 end) = 1 as is_own,
    max(b.accepted_by) as accepted_by
from log.balls_in_force as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.source = 'table'
group by l.club_id, l.batch, l.player, l.session_date, l.session
