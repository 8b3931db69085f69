"""Many at once: whoever has to wait is told so, nobody meets an error, and nothing is half or missing in the end."""

import json
from contextlib import ExitStack
from pathlib import Path

import pytest

from sql.archive import check_archive
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.proofs import in_proof
from tests.torture.children import run, started
from tests.torture.commands import halflong, read_until
from tests.torture.victim import BASICS, HEADER

LOADERS = 2
BALLS = "select cast(sum(balls) as bigint) from core.fed_lines"


def club_with_basics(place: Path) -> Path:
    for name, text in BASICS.items():
        (place / name).write_text(text, encoding="utf-8")
    files = [str(place / name) for name in BASICS]
    assert run(halflong, "load", *files, "--data", str(place / "club"), said=place / "said.txt").code == 0
    return place / "club"


def log_of(place: Path, number: int) -> str:
    """A session log of ten lines on a day of its own, each with one ball."""
    lines = "".join(f"2026-03-{number:02d},P1,{block},B,backspin,short,1,1\n" for block in range(1, 11))
    (place / f"l{number}.csv").write_text(HEADER + lines, encoding="utf-8")
    return str(place / f"l{number}.csv")


@pytest.mark.parametrize("readers", [3, in_proof(10)])
def test_loads_a_build_a_backup_and_readers_at_once(tmp_path: Path, readers: int) -> None:
    club, stop, backup = club_with_basics(tmp_path), tmp_path / "stop", tmp_path / "club.zip"
    data = ["--data", str(club)]
    commands = [
        *(["load", log_of(tmp_path, 1 + n), log_of(tmp_path, 11 + n), *data] for n in range(LOADERS)),
        ["build", *data],
        ["backup", str(backup), *data],
    ]
    with ExitStack() as crowd:
        reading = [
            crowd.enter_context(
                started(read_until, str(club), str(stop), str(tmp_path / f"r{n}.json"), said=tmp_path / f"r{n}.txt")
            )
            for n in range(readers)
        ]
        writers = [
            crowd.enter_context(started(halflong, *command, said=tmp_path / f"w{n}.txt"))
            for n, command in enumerate(commands)
        ]
        for writer in writers:
            writer.join(300)
        stop.touch()
        for reader in reading:
            reader.join(60)
        codes = [process.exitcode for process in (*writers, *reading)]

    said = [(tmp_path / f"w{n}.txt").read_text(encoding="utf-8") for n in range(len(commands))]
    assert codes == [0] * len(codes), said
    waited = [text.count("busy, waiting: another load or build is under way") for text in said]
    assert sum(waited) > 0, said
    assert all((tmp_path / f"r{n}.txt").read_text(encoding="utf-8") == "" for n in range(readers))
    answers = [tuple(row) for n in range(readers) for row in json.loads((tmp_path / f"r{n}.json").read_text())]
    assert all(batches == seen and balls == fed for batches, seen, balls, fed in answers)
    assert ask(DataFolder(club), BALLS).item() == 10 * 2 * LOADERS
    assert check_archive(backup).batches in range(len(BASICS), len(BASICS) + 2 * LOADERS + 1)
