-- Passkeys: what is public of keys that stay on people's devices, and what such a key has to sign.

create table passkeys (
    passkey integer primary key autoincrement,
    account integer not null references accounts on delete cascade,
    name text not null,
    credential_id text not null unique,         -- as the device names the key, base64url
    public_key blob not null,                   -- COSE
    sign_count integer not null,
    made_at text not null,
    used_at text
) strict;

create index passkeys_of_account on passkeys (account);

create table passkey_challenges (
    token_sha256 text primary key,              -- of the browser that was asked
    challenge blob not null,
    purpose text not null check (purpose in ('sign in', 'second factor', 'confirm', 'register')),
    account integer references accounts on delete cascade,  -- null: whoever has the key
    made_at text not null
) strict;

alter table accounts add column needs_passkey integer not null default 0;  -- 1: the password alone lets nobody in

-- A way to sign in more: a check cannot be changed, so that the table is made anew.
create table web_sessions_by_passkey_too (
    token_sha256 text primary key,
    session integer not null unique,            -- names it without giving it away
    account integer not null references accounts on delete cascade,
    made_at text not null,
    seen_at text not null,
    way text not null check (way in ('password', 'invitation', 'provider', 'passkey')),
    device text not null default 'a browser',   -- in words, as "Firefox on Windows"
    browser_sha256 text,                        -- of known_browsers: by what the account knows this browser
    confirmed_at text                           -- when the person last said who they are
) strict;

insert into web_sessions_by_passkey_too
select token_sha256, session, account, made_at, seen_at, way, device, browser_sha256, confirmed_at from web_sessions;

drop table web_sessions;

alter table web_sessions_by_passkey_too rename to web_sessions;

create index web_sessions_of_account on web_sessions (account);
