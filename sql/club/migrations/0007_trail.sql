-- Refusals of the same kind are counted in one entry, and each entry is sealed together with the one before it.

alter table trail add column kind text;                         -- of a refusal: those of one kind are counted together
alter table trail add column times integer not null default 1;  -- how often it happened
alter table trail add column last_at text;                      -- when it happened last, where that was more than once
alter table trail add column seal text;                         -- sha256 of the seal before it and of this entry
