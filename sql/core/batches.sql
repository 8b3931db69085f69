-- What came in: one row per batch, a file or a form.
-- grain: club_id, batch
-- columns:
--   club_id: short name of the club
--   batch: number of the batch
--   kind: players, setups, targets, sessions or balls
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
-- checks:
--   stop: lines_accepted + lines_refused = lines_read
select
    club_id,
    batch,
    kind,
    source,
    file_name,
    file_sha256,
    header,
    taken,
    lines_read,
    lines_accepted,
    lines_refused,
    loaded_by,
    loaded_at,
    withdrawn_by,
    withdrawn_at
from log.batches
