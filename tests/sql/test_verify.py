"""Whatever changes in the data folder without Halflong's doing is found, named, and mended where that can be."""

import random
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import duckdb
import pytest

from sql.backup import back_up
from sql.checksums import checksums_now
from sql.club.check import club_faults
from sql.digests import digest_file
from sql.folder import DataFolder, FolderProblem
from sql.verify import log_findings, verify
from sql.warehouse import ask, held, warehouse
from tests.proofs import in_proof
from tests.sql.old_backups import tiny_club

BALLS = "select cast(sum(balls) as bigint) from core.fed_lines"


def flips(file: Path, times: int) -> Iterator[int]:
    """So many times the file with one bit flipped at a random place: the places."""
    whole, noted, chance = file.read_bytes(), digest_file(file).read_bytes(), random.Random(times)
    for _ in range(times):
        place = chance.randrange(len(whole))
        changed = bytearray(whole)
        changed[place] ^= 1 << chance.randrange(8)
        file.write_bytes(changed)
        digest_file(file).write_bytes(noted)
        yield place


def stored(folder: DataFolder) -> list[tuple[object, ...]]:
    with duckdb.connect(str(folder.warehouse_file), read_only=True) as connection:
        return checksums_now(connection).rows()


def test_a_sound_club_has_no_fault(club: DataFolder) -> None:
    verdict = verify(club)

    assert verdict.findings == ()
    assert (verdict.batches, verdict.lines, verdict.publications) == (7, 12, 2)


@pytest.mark.parametrize("times", [7, in_proof(40)])
def test_a_flipped_bit_in_the_warehouse_is_found_wherever_it_is(club: DataFolder, times: int) -> None:
    """On a line of the log it is named and stays; beside all lines, the file is written anew with the same lines."""
    before, outcomes = stored(club), {True: 0, False: 0}
    for _ in flips(club.warehouse_file, times):
        with held(club):
            (finding,) = log_findings(club)
            assert finding.place == club.warehouse_file
            if finding.is_mended:
                assert stored(club) == before
                assert log_findings(club) == []
            else:
                assert "No sound backup is known here" in finding.sentence
        outcomes[finding.is_mended] += 1

    assert min(outcomes.values()) > 0


def test_nothing_is_written_onto_a_changed_warehouse(club: DataFolder) -> None:
    for _ in flips(club.warehouse_file, 1):
        changed = club.warehouse_file.read_bytes()
        with held(club), pytest.raises(FolderProblem, match="halflong verify"), warehouse(club):
            pass

    assert club.warehouse_file.read_bytes() == changed


def test_a_flipped_bit_in_a_published_file_is_found_and_the_file_made_anew(club: DataFolder) -> None:
    files = sorted(club.published.glob("*.duckdb"))
    for file in files:
        next(flips(file, 1))

    verdict = verify(club)

    assert [finding.place for finding in verdict.findings] == files
    assert verdict.is_sound
    assert [file for file in files if file.exists()] == []
    assert ask(club, BALLS).item() == tiny_club.BALLS_IN_FORCE
    assert verify(club).findings == ()


def test_a_flipped_bit_on_a_published_table_is_found_without_a_fingerprint_too(club: DataFolder) -> None:
    file = club.publication_in_force()
    assert file is not None
    # Wherever the word stands: freed pages may hold it, too, and there nobody would miss a bit.
    file.write_bytes(file.read_bytes().replace(b"w11-mistaken", b"w11-mistakeo"))
    digest_file(file).unlink()

    with pytest.raises(FolderProblem, match="halflong build"):
        ask(club, "select * from core.batches")
    assert "cannot be read" in verify(club).findings[0].sentence


def contents(file: Path) -> list[str]:
    """Everything that the club file says."""
    with closing(sqlite3.connect(file)) as connection:
        return list(connection.iterdump())


@pytest.mark.parametrize("left", [0, 1, 100, 4096, 4097, 20_000])
@pytest.mark.parametrize("name", ["club.sqlite", "warehouse.duckdb"])
def test_a_file_that_was_cut_off_or_emptied_is_a_fault_told_in_a_sentence(
    club: DataFolder, name: str, left: int
) -> None:
    file = club.path / name
    file.write_bytes(file.read_bytes()[:left])
    verdict = verify(club)

    assert not verdict.is_sound
    (finding,) = [finding for finding in verdict.findings if finding.place == file]
    assert "No sound backup is known here" in finding.sentence
    assert file.stat().st_size == left, "nothing is made anew over it"


def test_a_flipped_bit_in_the_club_file_is_found_or_changes_nothing_that_it_says(club: DataFolder) -> None:
    """Unlike DuckDB's, SQLite's own check finds a bit in a value only because every row is kept twice."""
    file = club.club_file
    before, whole, found = contents(file), file.read_bytes(), 0
    chance = random.Random(5)
    filled = [place for place, byte in enumerate(whole) if byte]
    for place in chance.sample(filled, 120):
        file.write_bytes(whole[:place] + bytes([whole[place] ^ (1 << chance.randrange(8))]) + whole[place + 1 :])
        if club_faults(club):
            found += 1
        else:
            assert contents(file) == before, place
        for side in ("-wal", "-shm"):
            file.with_name(file.name + side).unlink(missing_ok=True)

    assert found > 80


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ("delete from log.migrations where number = 2", r"damaged, .*: saw '0003_.*' as number 3, expected '0002_"),
        ("update log.migrations set sha256 = 'x' where number = 1", r"damaged, .*expected '0001_.*' as it is here"),
        ("update log.migrations set name = 'x' where number = 1", r"damaged, .*: saw 'x' as number 1"),
        ("insert into log.migrations values (99, 'x', 'x', now()::timestamp)", "written by a newer version"),
        ("delete from log.migrations", "0001_.* cannot be applied here .*may have lost its note"),
        ("delete from log.migrations where number > 1", "0002_.* cannot be applied here"),
        ("drop table log.migrations", "0001_.* cannot be applied here"),
    ],
)
def test_damage_where_the_migrations_are_noted_is_told_with_what_to_do(
    club: DataFolder, change: str, sentence: str
) -> None:
    with duckdb.connect(str(club.warehouse_file)) as connection:
        connection.execute(change)

    verdict = verify(club)
    (finding,) = [finding for finding in verdict.findings if finding.place == club.warehouse_file]

    assert re.search(sentence, finding.fault)
    assert "No sound backup is known here" in finding.what_now
    assert not verdict.is_sound


def test_a_zeroed_page_anywhere_in_the_warehouse_is_told_or_mended_and_never_a_fault_of_ours(club: DataFolder) -> None:
    whole, noted = club.warehouse_file.read_bytes(), digest_file(club.warehouse_file).read_bytes()
    pages = [at for at in range(0, len(whole), 4096) if any(whole[at : at + 4096])]
    for at in random.Random(14).sample(pages, 12) + pages[:4]:
        club.warehouse_file.write_bytes(whole[:at] + bytes(4096) + whole[at + 4096 :])
        digest_file(club.warehouse_file).write_bytes(noted)
        with held(club):
            assert log_findings(club), f"the page at {at} was emptied, and nobody saw it"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ("update log.sessions set good = good + 1 where batch = 4 and line = 2", "batch 4 (w10.csv): what is stored"),
        ("delete from log.sessions where batch = 5", "batch 5 (w10-corrected.csv): fewer lines are stored"),
        ("delete from log.refusals where batch = 4", "batch 4 (w10.csv): what is stored of it is not what was stored"),
        (
            "insert into log.sessions select * from log.sessions where batch = 4 and line = 2",
            "batch 4 (w10.csv): it holds the same line more than once",
        ),
        ("update log.batches set lines_read = 5 where batch = 4", "batch 4 (w10.csv): its lines accepted and refused"),
        ("delete from log.batches where batch = 5", "batch 5: it has lines or refusals but no record of its loading"),
        ("update log.batches set withdrawn_by = 'x' where batch = 4", "batch 4 (w10.csv): it is half withdrawn"),
        (
            "delete from log.batches where batch = 5; delete from log.sessions where batch = 5",
            "batch 5: it is gone, and only its checksum is left",
        ),
    ],
)
def test_a_change_by_another_hand_is_named_with_its_batch(club: DataFolder, change: str, sentence: str) -> None:
    with duckdb.connect(str(club.warehouse_file)) as connection:
        connection.execute(change)

    with held(club):
        told = [finding.sentence for finding in log_findings(club)]

    assert any(sentence in said for said in told), told


def test_the_latest_sound_backup_is_named_where_the_warehouse_is_damaged(club: DataFolder, tmp_path: Path) -> None:
    for name in ("monday", "tuesday"):
        back_up(club, tmp_path / f"{name}.zip")
    with duckdb.connect(str(club.warehouse_file)) as connection:
        connection.execute("update log.sessions set good = 1 where batch = 4 and line = 2")

    with held(club):
        assert f"halflong restore {tmp_path / 'tuesday.zip'} --data" in log_findings(club)[0].sentence
        (tmp_path / "tuesday.zip").write_bytes(b"overwritten")
        assert f"halflong restore {tmp_path / 'monday.zip'} --data" in log_findings(club)[0].sentence
    with pytest.raises(FolderProblem, match="no backup was made, for what it would keep is damaged"):
        back_up(club, tmp_path / "wednesday.zip")
    assert not (tmp_path / "wednesday.zip").exists()


def test_broken_settings_and_a_lost_publication_are_told(club: DataFolder) -> None:
    (club.published / "CURRENT").write_text("../../elsewhere.duckdb\n", encoding="ascii")
    club.settings_file.write_text("covered_balls = 'many'\n", encoding="utf-8")

    (finding,) = verify(club).findings
    assert "covered_balls: saw 'many'" in finding.sentence

    club.settings_file.unlink()
    verdict = verify(club)
    assert verdict.is_sound
    assert "lost" in verdict.findings[0].sentence
    assert ask(club, BALLS).item() == tiny_club.BALLS_IN_FORCE
