-- What a block has so far is kept as it grows: a phone asks every few seconds how its blocks stand.

alter table table_blocks add column taps_here integer not null default 0;   -- taps that are here
alter table table_blocks add column balls_here integer not null default 0;  -- balls that count
alter table table_blocks add column good_here integer not null default 0;   -- good ones among them
alter table table_blocks add column pruned_at text;                         -- since when the log alone has its balls

create index taps_undoing on taps (block, undoes);

create index table_blocks_of_account on table_blocks (account, begun_at);

update table_blocks set
    taps_here = (select count(*) from taps as t where t.block = table_blocks.block),
    balls_here = (
        select count(*) from taps as t
        where t.block = table_blocks.block and t.kind = 'ball'
            and not exists (select 1 from taps as u where u.block = t.block and u.undoes = t.tap)
    ),
    good_here = (
        select count(*) from taps as t
        where t.block = table_blocks.block and t.kind = 'ball' and t.outcome = 'good'
            and not exists (select 1 from taps as u where u.block = t.block and u.undoes = t.tap)
    );
