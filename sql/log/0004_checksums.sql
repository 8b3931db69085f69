-- What is stored of each batch, as one number: it tells later whether a line or a refusal has changed, or is gone.

-- As it would be now. A row is its JSON without the columns that are empty, so that a column added by a later
-- migration leaves the checksums of earlier batches as they are. Withdrawing a batch leaves its checksum as it is.
create view log.checksums_now as
with

stored_rows as (
    select club_id, batch, 'players' as part, line, 0 as fault, to_json(l) as stored from log.players as l
    union all
    select club_id, batch, 'setups' as part, line, 0 as fault, to_json(l) as stored from log.setups as l
    union all
    select club_id, batch, 'targets' as part, line, 0 as fault, to_json(l) as stored from log.targets as l
    union all
    select club_id, batch, 'sessions' as part, line, 0 as fault, to_json(l) as stored from log.sessions as l
    union all
    select club_id, batch, 'balls' as part, line, 0 as fault, to_json(l) as stored from log.balls as l
    union all
    select club_id, batch, 'feeders' as part, line, 0 as fault, to_json(l) as stored from log.feeders as l
    union all
    select club_id, batch, 'landings' as part, line, 0 as fault, to_json(l) as stored from log.landings as l
    union all
    select club_id, batch, 'refusals' as part, line, fault, to_json(l) as stored from log.refusals as l
    union all
    select
        club_id,
        batch,
        'batches' as part,
        0 as line,
        0 as fault,
        json_merge_patch(to_json(b), '{"withdrawn_by": null, "withdrawn_at": null}') as stored
    from log.batches as b
)

select
    club_id,
    batch,
    sha256(string_agg(sha256(concat(part, cast(json_merge_patch('{}', stored) as varchar))), '' order by part, line, fault, stored)) as stored_sha256,
    count(*) filter (where part not in ('batches', 'refusals')) as lines,
    count(distinct case when part = 'refusals' then line end) as refused_lines
from stored_rows
group by club_id, batch;

-- As it was when the batch was stored; of a batch from before this migration, as it was on that day.
create table log.checksums (
    club_id varchar not null,
    batch bigint not null,
    stored_sha256 varchar not null,
    lines bigint not null,
    refused_lines bigint not null,
    primary key (club_id, batch)
);

insert into log.checksums by name
select club_id, batch, stored_sha256, lines, refused_lines from log.checksums_now;
