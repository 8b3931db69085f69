"""Whether everything in the data folder still is what was written: each fault named, and mended where that can be."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb

from models.records import RECORDS
from sql.build import build, different_from_full, is_current
from sql.checksums import checksums_now
from sql.club.check import club_faults
from sql.digests import forget_digest, is_other_than_noted, noted_digest
from sql.disk import disk_sentence
from sql.folder import DataFolder, FolderProblem
from sql.holding import Say
from sql.made_backups import which_to_restore
from sql.making_tables import Progress
from sql.published_file import read_only
from sql.rewriting import write_anew
from sql.warehouse import Connection, held, warehouse


def _names(columns: Iterable[str]) -> str:
    return ", ".join(f'"{column}"' for column in columns)


INVARIANTS = {
    "what is stored of it is not what was stored": (
        "select n.batch from checksums_now as n left join log.checksums as c"
        " on n.club_id = c.club_id and n.batch = c.batch where n.stored_sha256 is distinct from c.stored_sha256"
    ),
    "it is gone, and only its checksum is left": (
        "select c.batch from log.checksums as c left join log.batches as b"
        " on c.club_id = b.club_id and c.batch = b.batch where b.batch is null"
    ),
    "it has lines or refusals but no record of its loading": (
        "select n.batch from checksums_now as n left join log.batches as b"
        " on n.club_id = b.club_id and n.batch = b.batch where b.batch is null"
    ),
    "its lines accepted and refused are not its lines read": (
        "select batch from log.batches where lines_accepted + lines_refused <> lines_read"
    ),
    "more lines are stored of it than were accepted": (
        "select b.batch from log.batches as b join checksums_now as n"
        " on b.club_id = n.club_id and b.batch = n.batch where n.lines > b.lines_accepted"
    ),
    "fewer lines are stored of it than when it was loaded or last erased from": (
        "select c.batch from log.checksums as c join checksums_now as n"
        " on c.club_id = n.club_id and c.batch = n.batch where n.lines < c.lines"
    ),
    "it is half withdrawn": "select batch from log.batches where (withdrawn_by is null) <> (withdrawn_at is null)",
    "it holds the same line more than once": " union ".join(
        f"select batch from log.{kind} group by club_id, batch, {_names(record.identity)} having count(*) > 1"
        for kind, record in RECORDS.items()
    ),
}
"""What is true of every batch, each with the question for the batches of which it is not; `checksums_now` is told."""


OTHER_BYTES = "its bytes are not those that were written last"


@dataclass(frozen=True)
class Finding:
    """One fault: where, what, and what was done or is to be done about it."""

    place: Path
    fault: str
    what_now: str
    is_mended: bool = False

    @property
    def sentence(self) -> str:
        """Where, what was seen, and what to do."""
        return f"{self.place}: {self.fault}. {self.what_now}"


@dataclass(frozen=True)
class Verdict:
    """What was looked at, and every fault that was found."""

    batches: int
    lines: int
    publications: int
    findings: tuple[Finding, ...]

    @property
    def is_sound(self) -> bool:
        """Nothing is left to do."""
        return all(finding.is_mended for finding in self.findings)


def verify(folder: DataFolder, *, say: Say = lambda _: None, progress: Progress = lambda *_: None) -> Verdict:
    """Read everything, hold it against its checksums and rules, and make anew what can be made anew.

    Raises FolderProblem where there is no club, or the folder is busy.
    """
    with held(folder, say):
        if not folder.warehouse_file.exists() and not folder.published.exists():
            raise FolderProblem(f"{folder.path}: holds no club, so there is nothing to verify.")
        findings = [*log_findings(folder), *_settings_findings(folder), *club_findings(folder)]
        publications = sorted(folder.published.glob("*.duckdb"))
        if all(finding.is_mended for finding in findings):
            findings += _mend_publications(folder, publications, progress)
        else:
            findings += [_unmended(file, fault) for file in publications if (fault := _publication_fault(file))]
        batches, lines = _counts(folder)
    return Verdict(batches, lines, len(publications), tuple(findings))


def log_findings(folder: DataFolder) -> list[Finding]:
    """The faults of the warehouse; where only bytes beside what is stored changed, the file is written anew.

    Only under the lock.
    """
    file = folder.warehouse_file
    try:
        is_other = is_other_than_noted(file)
        faults = [*_unreadable(folder)] or [*_broken_invariants(folder)]
        if is_other and not faults:
            if write_anew(folder):
                return [
                    Finding(file, OTHER_BYTES, "Every batch is whole, and the file is written anew.", is_mended=True)
                ]
            faults = [OTHER_BYTES]
    except (FolderProblem, duckdb.Error, OSError) as problem:
        if disk_sentence(problem):
            raise
        told = str(problem).splitlines()[0].removeprefix(f"{file}: ")
        faults = [told.removesuffix(" Run 'halflong verify'.").rstrip(".")]
    return [Finding(file, fault, which_to_restore(folder)) for fault in faults]


def _unreadable(folder: DataFolder) -> Iterator[str]:
    """A sentence for the first table of the log with bytes that were not written so; reading all of it finds them."""
    with warehouse(folder, even_changed=True) as connection:
        for schema, table in _tables(connection):
            try:
                _read_all(connection, schema, table)
            except duckdb.Error as error:
                yield f"the table {schema}.{table} cannot be read ({str(error).splitlines()[0]})"
                return  # DuckDB may refuse everything after that.


def _tables(connection: Connection) -> list[tuple[str, str]]:
    return connection.execute("select schema_name, table_name from duckdb_tables() order by 1, 2").fetchall()


def _read_all(connection: Connection, schema: str, table: str) -> None:
    connection.execute(f"select max(cast(to_json(t) as varchar)) from {schema}.{table} as t").fetchall()


def _broken_invariants(folder: DataFolder) -> Iterator[str]:
    with warehouse(folder, even_changed=True) as connection:
        connection.register("checksums_now", checksums_now(connection))
        for fault, question in INVARIANTS.items():
            for (batch,) in connection.execute(f"{question} order by 1").fetchall():
                names = connection.execute("select file_name from log.batches where batch = ?", [batch]).fetchall()
                yield f"batch {batch}{f' ({names[0][0]})' if names else ''}: {fault}"


def _settings_findings(folder: DataFolder) -> list[Finding]:
    try:
        folder.settings()
    except FolderProblem as problem:
        fault = str(problem).removeprefix(f"{folder.settings_file}: ").rstrip(".")
        return [Finding(folder.settings_file, fault, "Or take the one of a backup: it is a plain file in the zip.")]
    return []


def club_findings(folder: DataFolder) -> list[Finding]:
    """The faults of the club file."""
    return [Finding(folder.club_file, fault, which_to_restore(folder)) for fault in club_faults(folder)]


def _mend_publications(folder: DataFolder, publications: list[Path], progress: Progress) -> list[Finding]:
    """Remove damaged published files, and publish anew where the one in force was among them or is behind."""
    faults = {file: fault for file in publications if (fault := _publication_fault(file))}
    in_force = folder.publication_in_force()
    behind = [] if in_force in faults else [*_behind(folder, progress)]
    if in_force in faults or behind:
        build(folder, progress, is_full=True)
    for file in faults:
        file.unlink(missing_ok=True)
        forget_digest(file)
    what_now = "It is removed, and made anew where it was in force."
    return [*(Finding(file, fault, what_now, is_mended=True) for file, fault in faults.items()), *behind]


def _behind(folder: DataFolder, progress: Progress) -> Iterator[Finding]:
    """What the publication in force does not say as the log and the settings do, where it is not what they say."""
    if not is_current(folder):
        fault = "the publication in force was lost, or was not what the log and the settings say"
        yield Finding(folder.published, fault, "It is made anew.", is_mended=True)
    elif tables := different_from_full(folder, progress):
        fault = f"weeks that were carried over are not what they are when made anew ({', '.join(tables)})"
        yield Finding(folder.published, fault, "All are made anew.", is_mended=True)


def _unmended(file: Path, fault: str) -> Finding:
    return Finding(file, fault, "It can be made anew once the faults above are mended.")


def _publication_fault(file: Path) -> str | None:
    if noted_digest(file) is not None:
        return "its bytes are not those that were published" if is_other_than_noted(file) else None
    try:
        with read_only(file) as connection:
            for schema, table in _tables(connection):
                _read_all(connection, schema, table)
    except duckdb.Error as error:
        return f"it cannot be read ({str(error).splitlines()[0]})"
    return None


def _counts(folder: DataFolder) -> tuple[int, int]:
    try:
        with warehouse(folder, even_changed=True) as connection:
            question = "select count(*), coalesce(cast(sum(lines_accepted) as bigint), 0) from log.batches"
            return connection.execute(question).fetchall()[0]
    except FolderProblem:
        return 0, 0
