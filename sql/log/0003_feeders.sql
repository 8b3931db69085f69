-- Machines that feed, where single balls of theirs landed, and which of them stands at a setup.

create table log.feeders (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    feeder varchar not null,
    name varchar,
    make varchar,
    speed_dial_lowest double not null,
    speed_dial_highest double not null,
    spin_dial_lowest double,
    spin_dial_highest double,
    note varchar,
    primary key (club_id, batch, feeder)
);

create table log.landings (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    feeder varchar not null,
    noted_on date not null,
    ball bigint not null,
    setup varchar not null,
    release_height_cm double not null,
    elevation_deg double not null,
    speed_setting double not null,
    spin_setting double,
    topspin_rps double,
    speed_mps double,
    landing_x_cm double not null,
    landing_y_cm double not null,
    note varchar,
    primary key (club_id, batch, feeder, noted_on, ball)
);

alter table log.setups add column feeder varchar;

create view log.feeders_in_force as
select l.*
from log.feeders as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.feeder order by l.batch desc) = 1;

create view log.landings_in_force as
select l.*
from log.landings as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.feeder, l.noted_on, l.ball order by l.batch desc) = 1;

-- A view keeps the columns that its table had when it was made.
create or replace view log.setups_in_force as
select l.*
from log.setups as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.setup, l.valid_from order by l.batch desc) = 1;
