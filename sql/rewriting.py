"""The warehouse written anew from what can be read of it, where bytes changed that no line of the log stands on."""

import duckdb

from sql.digests import note_digest
from sql.disk import disk_told, flush
from sql.folder import DataFolder

CHECKSUMS = "select * from {}.log.checksums_now order by all"


def write_anew(folder: DataFolder) -> bool:
    """Copy the log into a new file, which takes the place of the old one where every checksum is the same in both.

    Only under the lock. False where the copy differs, and all stays as it was.
    """
    draft = folder.path / "draft.duckdb"
    draft.unlink(missing_ok=True)
    try:
        with disk_told(folder.path):
            if not _copy(folder, str(draft)):
                return False
            flush(draft)
            note_digest(folder.warehouse_file, written_at=draft)
            draft.replace(folder.warehouse_file)
            flush(folder.path)
    finally:
        draft.unlink(missing_ok=True)
    return True


def _copy(folder: DataFolder, draft: str) -> bool:
    quoted = str(folder.warehouse_file).replace("'", "''")
    with duckdb.connect(draft) as connection:
        connection.execute(f"attach '{quoted}' as old (read_only)")
        connection.execute("copy from database old to draft")
        is_same = [connection.execute(CHECKSUMS.format(name)).fetchall() for name in ("old", "draft")]
        connection.execute("detach old")
    return is_same[0] == is_same[1]
