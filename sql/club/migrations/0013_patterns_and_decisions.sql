-- Plans that the club keeps as patterns, blocks without any player; and what is decided of a ball for a player's day.

create table plan_patterns (
    pattern integer primary key autoincrement,
    name text not null,                         -- as the coaches call it
    made_at text not null,
    described text not null                     -- JSON: the blocks, as those of a plan
) strict;

create table plan_decisions (
    player text not null,
    day text not null,                          -- the day of the session, as 2026-11-27
    ball text not null,                         -- JSON: the wanted combination, pairs of dimension and word
    decided text not null check (decided in ('must', 'not_today')),
    account integer references accounts on delete set null,  -- who decided; null: at the command line, or gone since
    primary key (player, day, ball)
) strict;
