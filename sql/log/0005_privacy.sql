-- The day on which a player, or a guardian, agreed to the keeping of this log; and which batches a forgotten player was
-- erased from, so that their files do not bring the person back.

alter table log.batches add column erased_at timestamp;

alter table log.players add column consent_on date;

-- A view keeps the columns that its table had when it was made.
create or replace view log.players_in_force as
select l.*
from log.players as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.player order by l.batch desc) = 1;
