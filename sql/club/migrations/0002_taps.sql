-- What phones count at the table, until it is in the log. A block is one drill of one player; its taps are only added
-- to: an undo is a tap of its own.

create table table_blocks (
    block text primary key,                     -- made on the phone: 32 hexadecimal digits
    account integer references accounts on delete set null,  -- who counts it
    player text not null,
    session_date text not null,
    session text not null,
    described text not null,                    -- JSON: the columns of the ball log that hold for the block, and its feeds
    state text not null check (state in ('counting', 'done', 'in_log', 'refused', 'dropped')),
    taps_to_come integer,                       -- how many taps it was closed with; it waits until all of them are here
    minutes real,
    effort real,
    note text,
    number integer,                             -- its number in the session, given when it goes into the log
    batch integer,                              -- the batch of the log that it became
    told text,                                  -- why it was refused, or what kept it from the log
    begun_at text not null,
    changed_at text not null
) strict;

create unique index table_block_numbers on table_blocks (player, session_date, session, number);

create index table_blocks_in_state on table_blocks (state);

create table taps (
    tap text primary key,                       -- made on the phone: 32 hexadecimal digits; the same tap counts once
    block text not null references table_blocks on delete cascade,
    place integer not null,                     -- its place among the taps of the block, from 1
    kind text not null check (kind in ('ball', 'undo')),
    feed integer,                               -- ball: which feed of the combination it was, from 1
    outcome text,                               -- ball: what became of it
    undoes text,                                -- undo: the tap that does not count
    check ((kind = 'ball') = (feed is not null and outcome is not null and undoes is null)),
    check ((kind = 'undo') = (undoes is not null and feed is null and outcome is null))
) strict, without rowid;

create index taps_of_block on taps (block, place);
