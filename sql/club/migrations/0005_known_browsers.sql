-- Failures are counted by the monotonic clock, so that no clock that is set makes anybody wait.

drop table failures;

create table failures (
    of_sha256 text not null,                    -- a name with an address, either alone, or a known browser with a name
    at_s real not null                          -- seconds of the machine's monotonic clock
) strict;

create index failures_of on failures (of_sha256, at_s);

-- A browser in which this person was signed in before: guesses made elsewhere do not hold it up.
create table known_browsers (
    token_sha256 text primary key,
    account integer not null references accounts on delete cascade,
    made_at text not null,
    seen_at text not null
) strict;

create index known_browsers_of_account on known_browsers (account);
