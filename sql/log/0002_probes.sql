-- A line may belong to a probe: a fixed test set that is fed again some days later.

alter table log.sessions add column probe varchar;

alter table log.balls add column probe varchar;

-- A view keeps the columns that its table had when it was made, so both are made again.

create or replace view log.sessions_in_force as
select l.*
from log.sessions as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.session_date, l.session, l.player, l.block, l.feed order by l.batch desc) = 1;

create or replace view log.balls_in_force as
select l.*
from log.balls as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.session_date, l.session, l.player, l.block, l.feed, l.ball order by l.batch desc) = 1;
