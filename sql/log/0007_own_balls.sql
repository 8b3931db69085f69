-- Balls that players logged of themselves: whose account brought a batch is known when it is loaded, and never later. They
-- are marked in every figure until a coach or the coordinator has accepted the batch. Of older batches nobody knows it.

alter table log.batches add column is_own boolean;          -- true: a player, or a guardian for one; empty: not so, or not known

alter table log.batches add column accepted_by varchar;     -- the coach or coordinator who accepted such a batch

alter table log.batches add column accepted_at timestamp;   -- and when (UTC)
