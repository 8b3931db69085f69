-- With which device somebody is signed in, when they last said who they are, and what their account is to be told.

alter table web_sessions add column device text not null default 'a browser';  -- in words, as "Firefox on Windows"
alter table web_sessions add column browser_sha256 text;   -- of known_browsers: by what the account knows this browser
alter table web_sessions add column confirmed_at text;     -- when the person last said who they are

update web_sessions set browser_sha256 = (
    select k.token_sha256 from known_browsers as k where k.account = web_sessions.account order by k.seen_at desc limit 1
);

-- What an account's person is told on the next page, in each browser but the one that it is about.
create table account_news (
    news integer primary key autoincrement,
    account integer not null references accounts on delete cascade,
    happened_at text not null,
    what text not null check (what in ('new browser', 'another password', 'password by link')),
    device text not null,
    browser_sha256 text not null
) strict;

create index account_news_of_account on account_news (account);

alter table known_browsers add column news_read integer not null default 0;  -- up to which of these it was read there
