-- What makes a line one line is held by screening, and looked at by `verify`: of a file's lines none is twice, and a
-- batch is stored once. An index over eight columns took most of the file and of the time of storing.

create table log.sessions_without_key (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    session_date date not null,
    session varchar not null,
    player varchar not null,
    coach varchar,
    block bigint not null,
    "order" varchar,
    feed bigint not null,
    setup varchar not null,
    spin varchar not null,
    sidespin varchar,
    length varchar not null,
    placement varchar,
    height varchar,
    tempo_bpm double,
    stroke varchar,
    balls bigint not null,
    good bigint not null,
    net bigint,
    long bigint,
    wide bigint,
    missed bigint,
    minutes double,
    effort double,
    note varchar,
    probe varchar
);

insert into log.sessions_without_key by name select * from log.sessions order by batch, line;

drop table log.sessions;

alter table log.sessions_without_key rename to sessions;

create table log.balls_without_key (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    session_date date not null,
    session varchar not null,
    player varchar not null,
    coach varchar,
    block bigint not null,
    "order" varchar,
    feed bigint not null,
    setup varchar not null,
    spin varchar not null,
    sidespin varchar,
    length varchar not null,
    placement varchar,
    height varchar,
    tempo_bpm double,
    stroke varchar,
    ball bigint not null,
    outcome varchar not null,
    minutes double,
    effort double,
    note varchar,
    probe varchar
);

insert into log.balls_without_key by name select * from log.balls order by batch, line;

drop table log.balls;

alter table log.balls_without_key rename to balls;

create table log.refusals_without_key (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    fault bigint not null,
    mends varchar,
    session_date date,
    column_name varchar,
    seen varchar not null,
    expected varchar not null,
    to_do varchar not null,
    cells varchar not null
);

insert into log.refusals_without_key by name select * from log.refusals order by batch, line, fault;

drop table log.refusals;

alter table log.refusals_without_key rename to refusals;

-- Checksums are made column by column now. Those of the batches that are here were made of rows, and stay so: to make
-- them anew would take what is stored now for what was stored then.

alter table log.checksums add column formula varchar default 'by row';

create view log.checksums_by_row as
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

drop view log.checksums_now;
