-- What came in: one row per batch, a file or a form.
-- grain: club_id, batch
-- columns:
--   club_id: short name of the club
--   batch: number of the batch
--   kind: players, feeders, setups, targets, sessions, balls or landings
--   source: file or form
--   file_name: name of the file
--   file_sha256: fingerprint of the file's bytes (SHA-256)
--   header: the column names as typed, a JSON list
--   taken: how the file was read, in words
--   lines_read: lines read
--   lines_accepted: lines accepted
--   lines_refused: lines refused
--   loaded_by: who loaded it
--   loaded_at: when (UTC)
--   withdrawn_by: who withdrew it (empty: in force)
--   withdrawn_at: when (UTC; empty: in force)
--   is_own: a player logged it of themselves, or a guardian for one (empty: not so, or not known)
--   accepted_by: the coach or coordinator who accepted such a batch (empty: nobody has)
--   accepted_at: when (UTC; empty: not accepted)
--   stored_sha256: fingerprint of what is stored of it, lines and refusals (SHA-256)
-- checks:
--   stop: lines_accepted + lines_refused = lines_read
select
    b.club_id,
    b.batch,
    b.kind,
    b.source,
    b.file_name,
    b.file_sha256,
    b.header,
    b.taken,
    b.lines_read,
    b.lines_accepted,
    b.lines_refused,
    b.loaded_by,
    b.loaded_at,
    b.withdrawn_by,
    b.withdrawn_at,
    b.is_own,
    b.accepted_by,
    b.accepted_at,
    c.stored_sha256
from log.batches as b
left join log.checksums as c on b.club_id = c.club_id and b.batch = c.batch
