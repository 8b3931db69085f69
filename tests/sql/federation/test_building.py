"""A federation by DuckDB: what it says of a club is what the club's own models say, or nothing is published."""

import errno
import os
import re
import shutil
import socket
from pathlib import Path

import duckdb
import polars as pl
import pytest

from sql.catalogue import BrokenModel
from sql.federation import building, engines, on_duckdb
from sql.federation.building import build_federation, portable_types
from sql.federation.comparing import SaysOtherwise, different_tables
from sql.federation.engines import EngineProblem, UnknownEngine
from sql.federation.judging_apart import Types
from sql.federation.on_duckdb import build_on_duckdb, published_contracts
from sql.federation.on_spark import _told
from sql.federation.publication import build_in_force, next_build, parquet_of
from sql.folder import FolderProblem
from sql.lake.exporting import log_version
from sql.lake.manifest import LakeProblem, clubs_in, manifest_file
from tests.sql.old_backups import tiny_club


@pytest.fixture(scope="module")
def published(lake: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Both clubs, each a batch of its own, and compared with a build of both at once."""
    out = tmp_path_factory.mktemp("federation") / "out"
    build_federation("duckdb", lake, out, check=2, processes=1, at_once=1)
    return out


@pytest.fixture(scope="module")
def types() -> Types:
    return portable_types()


@pytest.mark.proof
@pytest.mark.usefixtures("whole")
def test_all_tables_by_two_processes_are_those_of_one(lake: Path, tmp_path: Path) -> None:
    build_federation("duckdb", lake, tmp_path / "out", check=2, processes=2, at_once=1)

    judged = rows(in_force(tmp_path / "out"), "report.judgements")
    assert set(judged["club_id"]) == {"tiny", "neighbour"}
    assert len({contract.table for contract in published_contracts()}) > 60


def rows(build: Path, table: str) -> pl.DataFrame:
    with duckdb.connect() as connection:
        return connection.sql(
            f"select * from read_parquet('{parquet_of(build, table)}', hive_partitioning = false)"
        ).pl()


def in_force(out: Path) -> Path:
    build = build_in_force(out)
    assert build is not None
    return build


def test_every_table_is_published_for_every_club(published: Path) -> None:
    build = in_force(published)

    assert {folder.name for folder in build.iterdir() if folder.is_dir()} == {c.table for c in published_contracts()}
    assert set(rows(build, "core.players")["club_id"]) == {"tiny", "neighbour"}
    assert rows(build, "core.words").height == rows(build, "core.words").unique().height


def test_a_club_has_its_own_balls_and_settings(published: Path) -> None:
    lines = rows(in_force(published), "core.fed_lines").group_by("club_id").agg(pl.col("balls", "good").sum())
    settings = rows(in_force(published), "core.settings")

    assert sorted(lines.rows()) == [
        ("neighbour", 50, 25),
        ("tiny", tiny_club.BALLS_IN_FORCE, tiny_club.GOOD_IN_FORCE),
    ]
    assert dict(settings.select("club_id", "covered_balls").rows()) == {"neighbour": 12, "tiny": 10}


def test_a_refused_line_is_counted_without_what_was_typed(published: Path) -> None:
    refused = rows(in_force(published), "core.refusals").filter(pl.col("club_id") == "tiny")

    assert refused.select("column_name", "seen", "cells", "is_mended").rows() == [("spin", "", "[]", False)]


def test_another_row_is_found_and_told_by_its_columns(published: Path, tmp_path: Path, types: Types) -> None:
    own = Path(shutil.copytree(in_force(published), tmp_path / "own"))
    file = next((own / "core.fed_lines").glob("*.parquet"))
    lines = pl.read_parquet(file)
    lines.with_columns(good=pl.col("good") - 1, tempo_bpm=pl.lit(1e-10)).write_parquet(file)

    clubs = sorted(set(lines["club_id"]))
    (sentence,) = different_tables(in_force(published), own, clubs, types)
    assert sentence.startswith(f"core.fed_lines in {lines.height} rows")
    assert "good" in sentence
    assert "tempo_bpm" in sentence


def test_a_double_may_differ_in_its_last_digits_and_a_row_may_not_lack(
    published: Path, tmp_path: Path, types: Types
) -> None:
    own = Path(shutil.copytree(in_force(published), tmp_path / "own"))
    file = next(f for f in (own / "report.variety").glob("*.parquet") if pl.read_parquet(f).height)
    variety = pl.read_parquet(file)
    doubles = [name for name, kind in variety.schema.items() if kind == pl.Float64]
    clubs = sorted(set(variety["club_id"]))
    variety.with_columns(pl.col(doubles) * (1 + 1e-13)).write_parquet(file)
    assert list(different_tables(in_force(published), own, clubs, types)) == []

    variety[1:].write_parquet(file)
    (sentence,) = different_tables(in_force(published), own, clubs, types)
    assert "report.variety in 1 rows" in sentence
    assert "in one only" in sentence


def test_an_engine_that_says_otherwise_publishes_nothing(
    published: Path, lake: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = in_force(published)

    def an_engine_that_changes_hands(*asked: object) -> None:
        build_on_duckdb(*asked)  # type: ignore[arg-type]
        for file in (Path(str(asked[2])) / "core.players").glob("*.parquet"):
            pl.read_parquet(file).with_columns(handedness=pl.lit("left")).write_parquet(file)

    monkeypatch.setattr(building, "build_on_duckdb", an_engine_that_changes_hands)
    with pytest.raises(SaysOtherwise, match=r"core\.players in 1 rows.*handedness.*Nothing was published"):
        build_federation("duckdb", lake, published, check=1, processes=1)

    assert in_force(published) == before
    assert [path.name for path in published.iterdir() if path.name.startswith("draft")] == []


def test_a_model_that_another_engine_would_take_otherwise_publishes_nothing(
    lake: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    *others, last = building.models_in_order()
    broken = type(last)(**vars(last) | {"query": f"{last.query} limit 7"})
    monkeypatch.setattr(building, "models_in_order", lambda: (*others, broken))

    with pytest.raises(BrokenModel, match=f"{last.table}: a limit, or distinct on: take row_number by a unique key"):
        build_federation("duckdb", lake, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_lake_with_half_of_a_club_publishes_nothing(lake: Path, tmp_path: Path) -> None:
    own = Path(shutil.copytree(lake, tmp_path / "copy"))
    (own / clubs_in(own, log_version())[0].files[0].path).unlink()

    with pytest.raises(LakeProblem, match="is missing"):
        build_federation("duckdb", own, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_club_of_another_version_publishes_nothing(lake: Path, tmp_path: Path) -> None:
    own = Path(shutil.copytree(lake, tmp_path / "copy"))
    file = manifest_file(own, "tiny")
    of_another = re.sub(r'"log_version": [0-9]+', '"log_version": 1', file.read_text(encoding="utf-8"))
    file.write_text(of_another, encoding="utf-8")

    with pytest.raises(
        LakeProblem, match=r"tiny\.json: saw format 1 with version 1 of the log.*the same version of Half"
    ):
        build_federation("duckdb", own, tmp_path / "out")
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("kind", ["spark", "sc"])
def test_an_engine_where_nobody_listens_is_told_and_what_was_in_force_stays(
    published: Path, lake: Path, kind: str
) -> None:
    """At once: Spark itself would go on trying for minutes, and its package need not be there."""
    before = in_force(published)
    with socket.socket() as bound:  # Not listening: whoever turns to it is refused.
        bound.bind(("127.0.0.1", 0))
        engine = f"{kind}://127.0.0.1:{bound.getsockname()[1]}"
        with pytest.raises(
            EngineProblem, match=f"nobody answers at '{engine}'.*Nothing was published.*--engine duckdb"
        ):
            build_federation(engine, lake, published)

    assert in_force(published) == before
    assert not list(published.glob("draft-*"))


def test_a_port_that_cannot_be_is_told(lake: Path, tmp_path: Path) -> None:
    with pytest.raises(EngineProblem, match=r"nobody answers at 'sc://127\.0\.0\.1:99999'"):
        build_federation("sc://127.0.0.1:99999", lake, tmp_path / "out")


def test_where_sparks_package_is_not_installed_that_is_told(
    lake: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engines, "find_spec", lambda _: None)

    with pytest.raises(EngineProblem, match=r"needs what is not installed: pyspark, sqlglot.*extra 'federation'"):
        build_federation("spark", lake, tmp_path / "out")
    assert build_in_force(tmp_path / "out") is None


def test_what_spark_fails_of_is_told_by_its_last_cause() -> None:
    said = "An error occurred while calling o9.parquet.\n: SparkException: Job\n\tat a.B\nCaused by: No space\n\tat c"

    with pytest.raises(EngineProblem, match=r"'spark' failed \(No space\)\. Nothing was published"), _told("spark"):
        raise RuntimeError(said)


@pytest.mark.parametrize("engine", ["mysql", "sc://", "sc://host", "spark:", ""])
def test_an_engine_that_is_none_is_told(lake: Path, tmp_path: Path, engine: str) -> None:
    with pytest.raises(UnknownEngine, match="Say duckdb, spark, spark://HOST:PORT or sc://HOST:PORT"):
        build_federation(engine, lake, tmp_path / "out")


def test_a_disk_that_fills_up_while_tables_are_written_is_told(
    published: Path, lake: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As DuckDB tells it, whose words are those of the system."""
    before = in_force(published)

    def full(*_: object) -> None:
        raise duckdb.IOException(f"IO Error: Could not write file: {os.strerror(errno.ENOSPC)}")

    monkeypatch.setattr(on_duckdb, "_write", full)
    with pytest.raises(FolderProblem, match="the disk is full"):
        build_federation("duckdb", lake, published, processes=1)

    assert in_force(published) == before
    assert not list(published.glob("draft-*"))


def test_a_full_disk_is_told_and_what_was_in_force_stays(tmp_path: Path) -> None:
    for _ in range(4):
        with next_build(tmp_path) as (number, draft):
            (draft / "rows").write_text("x", encoding="utf-8")
    assert number == 4
    assert sorted(path.name for path in tmp_path.iterdir()) == ["CURRENT", "build-000003", "build-000004"]

    with pytest.raises(FolderProblem, match="the disk is full"), next_build(tmp_path):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    assert build_in_force(tmp_path) == tmp_path / "build-000004"
    assert not list(tmp_path.glob("draft-*"))
