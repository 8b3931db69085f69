-- Who may come in, and what was done. Instants are UTC, as 2026-11-25T13:44:05.123456+00:00, so that text order is time order.

create table accounts (
    account integer primary key autoincrement,  -- never used again: the trail and open browsers remember it
    name text not null,                         -- what one signs in with, and what the log and the trail note
    name_key text not null unique,              -- the name as it is looked up: one form for all its spellings
    role text not null check (role in ('coordinator', 'coach', 'player', 'guardian')),
    password_hash text,                         -- argon2id; null until the invitation is redeemed, and with a provider
    issuer text,                                -- the OpenID provider that vouches for this person, if one does
    subject text,                               -- who this person is to that provider
    made_at text not null,
    unique (issuer, subject),
    check ((issuer is null) = (subject is null))
) strict;

-- Whom an account may read: a player's own code, a guardian's wards.
create table account_players (
    account integer not null references accounts on delete cascade,
    player text not null,
    primary key (account, player)
) strict, without rowid;

-- Which groups a coach trains.
create table account_groups (
    account integer not null references accounts on delete cascade,
    group_name text not null,
    primary key (account, group_name)
) strict, without rowid;

-- A browser that is signed in. Of its token only the hash is kept: whoever reads this file cannot use it.
create table web_sessions (
    token_sha256 text primary key,
    session integer not null unique,            -- names it without giving it away
    account integer not null references accounts on delete cascade,
    made_at text not null,
    seen_at text not null,
    way text not null check (way in ('password', 'invitation', 'provider'))
) strict;

create index web_sessions_of_account on web_sessions (account);

-- A link with which the person of an account sets a password, once.
create table invitations (
    token_sha256 text primary key,
    account integer not null references accounts on delete cascade,
    made_at text not null,
    ends_at text not null
) strict;

-- Sign-ins that failed, by name and by address; hashed, since people type passwords into the wrong field.
create table failures (
    of_sha256 text not null,
    happened_at text not null
) strict;

create index failures_of on failures (of_sha256, happened_at);

-- What was done, by whom. The account may be gone later; its name stays until the person is forgotten.
create table trail (
    entry integer primary key autoincrement,
    happened_at text not null,
    account integer,
    name text,
    event text not null,
    player text,                                -- whom it was about, where it was about one player
    about text not null,
    address text
) strict;
