-- The facts: what came in, line by line, and what became of it. Nothing here is ever changed but the withdrawal
-- of a batch; a later batch supersedes a line by standing beside it.

create table log.batches (
    club_id varchar not null,
    batch bigint not null,
    kind varchar not null,
    source varchar not null,
    file_name varchar not null,
    file_sha256 varchar not null,
    header varchar not null,
    taken varchar not null,
    lines_read bigint not null,
    lines_accepted bigint not null,
    lines_refused bigint not null,
    loaded_by varchar not null,
    loaded_at timestamp not null,
    withdrawn_by varchar,
    withdrawn_at timestamp,
    primary key (club_id, batch)
);

create table log.refusals (
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
    cells varchar not null,
    primary key (club_id, batch, line, fault)
);

create table log.players (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    player varchar not null,
    name varchar,
    handedness varchar not null,
    "group" varchar,
    birth_year bigint,
    level varchar,
    joined_on date,
    active boolean,
    primary key (club_id, batch, player)
);

create table log.setups (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    setup varchar not null,
    name varchar,
    feeding varchar,
    x_cm double not null,
    y_cm double not null,
    release_height_cm double,
    yaw_deg double,
    net_folded boolean,
    valid_from date not null,
    note varchar,
    primary key (club_id, batch, setup, valid_from)
);

create table log.targets (
    club_id varchar not null,
    batch bigint not null,
    line bigint not null,
    mends varchar,
    target varchar not null,
    applies_to varchar not null,
    dimension varchar not null,
    value varchar not null,
    share double not null,
    primary key (club_id, batch, target, applies_to, dimension, value)
);

create table log.sessions (
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
    primary key (club_id, batch, session_date, session, player, block, feed)
);

create table log.balls (
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
    primary key (club_id, batch, session_date, session, player, block, feed, ball)
);

-- In force: of the lines that are the same line, the one of the latest batch that nobody has withdrawn.

create view log.players_in_force as
select l.*
from log.players as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.player order by l.batch desc) = 1;

create view log.setups_in_force as
select l.*
from log.setups as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.setup, l.valid_from order by l.batch desc) = 1;

create view log.targets_in_force as
select l.*
from log.targets as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.target, l.applies_to, l.dimension, l.value order by l.batch desc) = 1;

create view log.sessions_in_force as
select l.*
from log.sessions as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.session_date, l.session, l.player, l.block, l.feed order by l.batch desc) = 1;

create view log.balls_in_force as
select l.*
from log.balls as l
inner join log.batches as b on l.club_id = b.club_id and l.batch = b.batch
where b.withdrawn_at is null
qualify row_number() over (partition by l.club_id, l.session_date, l.session, l.player, l.block, l.feed, l.ball order by l.batch desc) = 1;
