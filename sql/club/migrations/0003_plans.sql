-- What is planned for a player's next session: one plan for each player and day; a new one takes the place of the old.

create table plans (
    plan integer primary key autoincrement,
    player text not null,
    meant_for text not null,                    -- the day, as 2026-11-27
    account integer references accounts on delete set null,  -- who made it; null: at the command line, or gone since
    made_at text not null,
    minutes real not null,                      -- how long it takes, with pauses and moves of the feeder
    balls integer not null,
    described text not null,                    -- JSON: the blocks in order, each with order, feeds, why, balls, minutes
    unique (player, meant_for)
) strict;
