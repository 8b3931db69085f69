-- Who is here on a day, and the plan of the hall that is kept for it: one for each day and begin.

create table attendance (
    player text not null,
    day text not null,                          -- the day, as 2026-11-27; no row: not here, or not asked yet
    account integer references accounts on delete set null,  -- who noted it; null: at the command line, or gone since
    noted_at text not null,
    primary key (player, day)
) strict;

create table hall_plans (
    hall_plan integer primary key autoincrement,
    meant_for text not null,
    begins_at text not null,                    -- on the club's wall, as 18:00
    made_at text not null,
    stations text not null,                     -- JSON: the tables, each with its name and what feeds there
    unique (meant_for, begins_at)
) strict;

create table hall_turns (
    hall_plan integer not null references hall_plans on delete cascade,
    player text not null,
    slot integer not null,
    station integer not null,                   -- which of the tables, from 0
    turn integer not null,                      -- which in the slot at that table, from 0
    begins real not null,                       -- minutes from the begin of the session
    described text not null,                    -- JSON: the block, with order, feeds, why, balls, minutes
    primary key (hall_plan, slot, station, turn)
) strict;
