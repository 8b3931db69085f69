-- What a coach says to a player, on the player's own page: one sentence of each, the latest.

create table notes_to_players (
    player text primary key,
    account integer references accounts on delete set null,  -- who wrote it; null: gone since
    written_at text not null,
    note text not null
) strict;
