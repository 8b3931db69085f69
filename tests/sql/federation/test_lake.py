"""A club's export: its figures are whole, nobody's name is in it, and nobody sees half of one."""

import re
import shutil
from pathlib import Path

import polars as pl
import pytest

from ingest.loading import Incoming, load, withdraw
from models.records import RECORDS, columns_of
from models.shapes import Code, OneOf, Text
from sql.folder import DataFolder, FolderProblem
from sql.forgetting import forget
from sql.lake import exporting
from sql.lake.codes import Codes, club_codes, player_codes
from sql.lake.columns import Said, said_of
from sql.lake.exporting import NothingToExport, export_log, log_version
from sql.lake.manifest import (
    BUCKETS,
    ClubManifest,
    LakeProblem,
    bucket_of,
    clubs_in,
    manifest_file,
    read_manifest,
    season_of,
)
from sql.warehouse import held, warehouse
from tests.few_tables import few_tables
from tests.sql.federation.conftest import NEIGHBOUR, filled_neighbour, filled_tiny
from tests.sql.old_backups import tiny_club


@pytest.fixture(scope="module")
def kept_tiny(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    return filled_tiny(tmp_path_factory.mktemp("kept") / "tiny")


@pytest.fixture
def tiny(kept_tiny: DataFolder, tmp_path: Path) -> DataFolder:
    return DataFolder(Path(shutil.copytree(kept_tiny.path, tmp_path / "tiny")))


def rows_in(lake: Path, manifest: ClubManifest, table: str) -> pl.DataFrame:
    files = [lake / file.path for file in manifest.files if file.table == table]
    return pl.concat([pl.read_parquet(file) for file in files])


def values_in(lake: Path) -> str:
    """Every value and every name of a file: Parquet packs its bytes, so that they are read, not searched."""
    parquet = [str(pl.read_parquet(file).rows()) for file in sorted(lake.rglob("*.parquet"))]
    others = [file.read_text(encoding="utf-8") for file in sorted(lake.rglob("*.json"))]
    return " ".join([*parquet, *others, *(str(path.relative_to(lake)) for path in lake.rglob("*"))])


def balls(lake: Path, manifest: ClubManifest) -> tuple[int, int]:
    """Balls and good ones in force, counted lines and single balls together."""
    fed, good = 0, 0
    if manifest.rows_of("sessions"):
        rows = rows_in(lake, manifest, "sessions").filter("is_in_force")
        fed, good = rows["balls"].sum(), rows["good"].sum()
    if manifest.rows_of("balls"):
        rows = rows_in(lake, manifest, "balls").filter("is_in_force")
        fed, good = fed + rows.height, good + (rows["outcome"] == "good").sum()
    return fed, good


def test_the_balls_in_force_are_all_there(tiny: DataFolder, tmp_path: Path) -> None:
    manifest = export_log(tiny, tmp_path / "lake")

    assert balls(tmp_path / "lake", manifest) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)
    assert clubs_in(tmp_path / "lake", log_version()) == [manifest]


TYPED = (
    *("T1", "T2", "Ivo", "Tamm", "Una", "Berg", "Juniors", "N1", "Rika", "Oum", "Seniors", "Holm", "tired", "window"),
    *("late", "early", "topsin", *tiny_club.FILES, *NEIGHBOUR),
)


@pytest.mark.parametrize("typed", TYPED)
def test_nothing_that_a_person_typed_freely_is_in_the_lake(lake: Path, typed: str) -> None:
    assert not re.search(rf"\b{re.escape(typed)}\b", values_in(lake))


def test_what_is_no_word_of_the_trade_and_no_figure_is_coded_or_left_out() -> None:
    """Also of a column that is added one day: nobody has to think of the lake."""
    for record in RECORDS.values():
        for column in columns_of(record):
            if said_of(record, column) is Said.AS_IT_IS and isinstance(column.shape, Code | Text):
                pytest.fail(f"{record.kind}.{column.name} stands in the lake as it was typed")
            if isinstance(column.shape, OneOf):
                assert said_of(record, column) is Said.AS_IT_IS


PLAIN = {"club_id", "kind", "source", "column_name", "header", "taken", "seen", "expected", "to_do", "cells"}
"""Texts of batches and refusals that name nobody: words of ours, or what the lake has emptied."""


@pytest.mark.parametrize("table", ["batches", "refusals"])
def test_every_other_text_of_what_came_in_is_coded(tiny: DataFolder, tmp_path: Path, table: str) -> None:
    with held(tiny), warehouse(tiny) as connection:
        for column in ("withdrawn_by", "accepted_by"):
            connection.execute(f"update log.batches set {column} = 'Ines Vall'")
        connection.execute("update log.refusals set mends = '0123456789ab:7'")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(exporting, "_require_some", lambda *_: None)
        rows = rows_in(tmp_path / "lake", export_log(tiny, tmp_path / "lake"), table)

    texts = rows.select(pl.col(pl.String).exclude(*PLAIN)).unpivot()["value"].drop_nulls()
    assert len(texts)
    assert [
        text for text in texts if not re.fullmatch(r"[0-9a-f]{16}|[0-9a-f]{64}|([0-9a-f]{12}|[0-9]+):[0-9]+", text)
    ] == []


def test_only_the_club_turns_a_code_back(tiny: DataFolder, tmp_path: Path) -> None:
    manifest = export_log(tiny, tmp_path / "lake")

    told = {row["code"]: row["name"] for row in player_codes(tiny).to_dicts()}
    assert {told[code] for code in rows_in(tmp_path / "lake", manifest, "sessions")["player"]} == {
        "Ivo Tamm",
        "Una Berg",
    }
    assert tiny.lake_key_file.stat().st_mode & 0o777 == 0o600


def test_the_codes_are_those_of_hmac_sha_256() -> None:
    """RFC 4231, test case 2, by its first 64 bits."""
    assert Codes(b"Jefe").of("what do ya want for nothing?") == "5bdcc146bf60754e"


def test_an_unchanged_club_writes_the_same_files_again(tiny: DataFolder, tmp_path: Path) -> None:
    first, second = export_log(tiny, tmp_path / "lake"), export_log(tiny, tmp_path / "lake")

    assert first.files == second.files


def test_sessions_of_a_day_keep_their_order(lake: Path) -> None:
    """A label is typed by somebody, so it becomes a number; which session came first stays."""
    rows = rows_in(lake, clubs_in(lake, log_version())[0], "sessions")

    assert set(rows["session"]) == {"1"}


@pytest.mark.parametrize(("day", "season"), [((2026, 6, 30), 2025), ((2026, 7, 1), 2026), ((2026, 12, 31), 2026)])
def test_a_season_is_named_by_the_year_in_which_it_begins(day: tuple[int, int, int], season: int) -> None:
    from datetime import date

    assert season_of(date(*day)) == season


def test_lines_lie_by_bucket_and_season(lake: Path) -> None:
    folders = {file.parent.relative_to(lake).as_posix() for file in lake.rglob("*.parquet") if "sessions" in str(file)}

    assert folders == {
        f"log/sessions/{bucket_of('tiny')}/season=2025",
        f"log/sessions/{bucket_of('neighbour')}/season=2025",
        f"log/sessions/{bucket_of('neighbour')}/season=2026",
    }


def test_a_thousand_clubs_share_few_folders() -> None:
    assert len({bucket_of(f"club-{number}") for number in range(1000)}) == BUCKETS


def test_a_correction_and_a_withdrawal_reach_the_lake_with_the_next_export(tiny: DataFolder, tmp_path: Path) -> None:
    export_log(tiny, tmp_path / "lake")
    more = b"session_date,player,block,setup,spin,length,balls,good\n2026-03-03,T2,1,B,topspin,long,30,29\n"
    with few_tables():
        (report,) = load(tiny, [Incoming("more.csv", more)], "tester", today=tiny_club.TODAY)

    corrected = export_log(tiny, tmp_path / "lake")
    assert balls(tmp_path / "lake", corrected)[1] == tiny_club.GOOD_IN_FORCE - 12 + 29

    with few_tables():
        withdraw(tiny, report.batch or 0, "tester")
    withdrawn = export_log(tiny, tmp_path / "lake")
    assert balls(tmp_path / "lake", withdrawn) == (tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE)


@pytest.mark.parametrize("keeps_lines", [False, True])
def test_an_erased_player_is_gone_from_every_byte(tiny: DataFolder, tmp_path: Path, keeps_lines: bool) -> None:
    before = export_log(tiny, tmp_path / "lake")
    code = club_codes(tiny.lake_key_file).of("T1")
    assert code in values_in(tmp_path / "lake")

    with few_tables():
        forget(tiny, "T1", keeps_lines=keeps_lines)
    after = export_log(tiny, tmp_path / "lake")

    assert code not in values_in(tmp_path / "lake")
    assert balls(tmp_path / "lake", after)[0] == (tiny_club.BALLS_IN_FORCE if keeps_lines else 30)
    gone = {file.path for file in before.files} - {file.path for file in after.files}
    assert gone
    assert not [path for path in gone if (tmp_path / "lake" / path).exists()]


def test_a_reader_sees_the_last_export_while_another_is_half_written(
    tiny: DataFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lake = tmp_path / "lake"
    before = export_log(tiny, lake)
    more = b"session_date,player,block,setup,spin,length,balls,good\n2026-03-04,T2,1,B,topspin,long,30,29\n"
    with few_tables():
        load(tiny, [Incoming("more.csv", more)], "tester", today=tiny_club.TODAY)
    monkeypatch.setattr(exporting, "_put_in_force", lambda *_: 1 / 0)

    with pytest.raises(ZeroDivisionError):
        export_log(tiny, lake)

    assert clubs_in(lake, log_version()) == [before]
    assert len(list(lake.rglob("*.parquet"))) > len(before.files)
    monkeypatch.undo()
    after = export_log(tiny, lake)
    assert len(list(lake.rglob("*.parquet"))) == len(after.files)


def test_two_clubs_of_one_name_do_not_take_each_others_place(tiny: DataFolder, tmp_path: Path) -> None:
    export_log(tiny, tmp_path / "lake")
    other = filled_neighbour(tmp_path / "other", "tiny")

    with pytest.raises(LakeProblem, match=r"for a club that is called 'tiny' too\. Give each club its own club_id"):
        export_log(other, tmp_path / "lake")


def test_a_club_that_lost_its_key_exports_with_a_new_one(tiny: DataFolder, tmp_path: Path) -> None:
    first = export_log(tiny, tmp_path / "lake")
    tiny.lake_key_file.unlink()

    with pytest.raises(LakeProblem, match="--new-key"):
        export_log(tiny, tmp_path / "lake")
    second = export_log(tiny, tmp_path / "lake", is_new_key=True)

    assert second.key_fingerprint != first.key_fingerprint
    assert len(list((tmp_path / "lake").rglob("*.parquet"))) == len(second.files)


@pytest.mark.parametrize("text", ["", "abc", "zz" * 32, "é"])
def test_what_is_no_key_is_told(tiny: DataFolder, text: str) -> None:
    tiny.lake_key_file.write_text(text, encoding="utf-8")

    with pytest.raises(FolderProblem, match="expected 64 hexadecimal letters"):
        club_codes(tiny.lake_key_file)


def test_a_club_without_a_log_has_nothing_to_export(tmp_path: Path) -> None:
    with pytest.raises(NothingToExport, match="halflong load"):
        export_log(DataFolder(tmp_path / "new"), tmp_path / "lake")


def copied(lake: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(lake, tmp_path / "copy"))


def test_a_file_that_is_missing_or_cut_off_is_told_by_name(lake: Path, tmp_path: Path) -> None:
    own = copied(lake, tmp_path)
    file = own / clubs_in(own, log_version())[0].files[0].path
    file.write_bytes(file.read_bytes()[:-1])
    with pytest.raises(
        LakeProblem, match=f"{re.escape(str(file))}: has [0-9]+ bytes, expected [0-9]+ bytes of the club"
    ):
        clubs_in(own, log_version())
    file.unlink()
    with pytest.raises(LakeProblem, match="is missing, expected"):
        clubs_in(own, log_version())


def test_a_club_of_another_version_is_told(lake: Path) -> None:
    with pytest.raises(
        LakeProblem, match=r"neighbour\.json: saw format 1 with version [0-9]+ of the log, expected 1 with 99"
    ):
        clubs_in(lake, 99)


@pytest.mark.parametrize("text", ["", "{}", "[]", '{"format": 1'])
def test_what_is_no_manifest_is_told(tmp_path: Path, text: str) -> None:
    (tmp_path / "club.json").write_text(text, encoding="utf-8")

    with pytest.raises(LakeProblem, match=r"this is no manifest of a club\. Let that club export again"):
        read_manifest(tmp_path / "club.json", 1)


def test_a_manifest_that_lacks_something_is_told(lake: Path, tmp_path: Path) -> None:
    own = copied(lake, tmp_path)
    file = manifest_file(own, "tiny")
    file.write_text(file.read_text(encoding="utf-8").replace('"settings"', '"other"'), encoding="utf-8")

    with pytest.raises(LakeProblem, match="settings: Field required"):
        clubs_in(own, log_version())


def test_a_folder_without_clubs_is_told(tmp_path: Path) -> None:
    with pytest.raises(LakeProblem, match="holds no club"):
        clubs_in(tmp_path, 1)
