"""The Big List of Naughty Strings as what people type: taken as typed or refused with a reason, and told unharmed.

Source and licence: tests/naughty/README.md.
"""

import csv
import io
import json
import re
from pathlib import Path

import polars as pl
import pytest
from typer.testing import CliRunner

from dashboard.command_line import app
from ingest.csv_out import as_typed
from ingest.loading import Incoming, Report, load
from ingest.reading import read_log
from models.shapes import BLANKS
from sql.folder import DataFolder
from sql.warehouse import ask
from tests.ingest.conftest import BASICS, TODAY
from tests.ingest.log_files import SESSIONS, sessions

NAUGHTY: list[str] = json.loads((Path(__file__).parents[1] / "naughty" / "blns.json").read_text("utf-8"))
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def taken(text: str, longest: int) -> str | None:
    """The text as it must be in the log: trimmed, else as typed; None where its line is refused or the cell empty."""
    trimmed = text.strip(BLANKS)
    return trimmed if trimmed and len(trimmed) <= longest and not CONTROL.search(trimmed) else None


def is_refused(text: str, longest: int) -> bool:
    return bool(text.strip(BLANKS)) and taken(text, longest) is None


def log_of(*header: str, rows: list[list[str]]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows([header, *rows])
    return text.getvalue().encode()


FILES = {
    "naughty players.csv": log_of(
        *("player", "handedness", "name"), rows=[[f"N{at}", "right", text] for at, text in enumerate(NAUGHTY)]
    ),
    "naughty groups.csv": log_of(
        *("player", "handedness", "group"), rows=[[f"G{at}", "left", text] for at, text in enumerate(NAUGHTY)]
    ),
    "naughty setups.csv": log_of(
        *("setup", "x_cm", "y_cm", "name", "note"),
        rows=[[f"S{at}", "-20", "0", text, text] for at, text in enumerate(NAUGHTY)],
    ),
    "naughty week.csv": log_of(
        *("session_date", "player", "setup", "spin", "length", "balls", "good", "block", "coach", "note"),
        rows=[
            ["2026-05-04", "P1", "BC", "backspin", "short", "40", "30", str(at + 1), "", text]
            for at, text in enumerate(NAUGHTY[:200])
        ]
        + [
            ["2026-05-05", "P1", "BC", "backspin", "short", "40", "30", str(at + 1), text, ""]
            for at, text in enumerate(NAUGHTY[:200])
        ],
    ),
}


@pytest.fixture(scope="module")
def naughty_club(tmp_path_factory: pytest.TempPathFactory) -> tuple[DataFolder, dict[str, Report]]:
    """A club to which all of them came. Only to be looked at."""
    folder = DataFolder(tmp_path_factory.mktemp("naughty") / "club")
    files = [*BASICS, *(Incoming(name, content) for name, content in FILES.items())]
    return folder, {report.file_name: report for report in load(folder, files, "tester", today=TODAY)}


def told(folder: DataFolder, table: str, code: str, text: str) -> dict[str, str | None]:
    return dict(ask(folder, f"select {code}, {text} from {table}").iter_rows())


def test_every_naughty_line_is_taken_or_refused_for_its_length_or_its_control_characters(
    naughty_club: tuple[DataFolder, dict[str, Report]],
) -> None:
    _, reports = naughty_club
    refused = {
        "naughty players.csv": sum(is_refused(text, 80) for text in NAUGHTY),
        "naughty groups.csv": sum(is_refused(text, 40) for text in NAUGHTY),
        "naughty setups.csv": sum(is_refused(text, 80) for text in NAUGHTY),
        "naughty week.csv": sum(is_refused(t, 500) + is_refused(t, 80) for t in NAUGHTY[:200]),
    }

    assert {name: reports[name].lines_refused for name in FILES} == refused
    assert reports["naughty players.csv"].lines_read == len(NAUGHTY)
    assert all(fault.sentence.isprintable() for report in reports.values() for fault in report.refusals)


def test_names_groups_and_notes_are_told_as_they_were_typed(
    naughty_club: tuple[DataFolder, dict[str, Report]],
) -> None:
    folder, _ = naughty_club
    names = told(folder, "core.players", "player_id", "name")
    groups = told(folder, "core.players", "player_id", "group_name")
    setups = told(folder, "core.setups", "setup_id", "name")

    assert {at for at, text in enumerate(NAUGHTY) if is_refused(text, 80)}.isdisjoint(
        int(code[1:]) for code in names if code.startswith("N")
    )
    for at, text in enumerate(NAUGHTY):
        if not is_refused(text, 80):
            assert names[f"N{at}"] == (taken(text, 80) or f"N{at}")
            assert setups[f"S{at}"] in (taken(text, 80), f"S{at}")
        if not is_refused(text, 40):
            assert groups[f"G{at}"] == taken(text, 40)


@pytest.mark.parametrize("form", ["csv", "json", "parquet"])
def test_an_answer_in_any_form_has_them_as_they_were_typed(
    form: str, naughty_club: tuple[DataFolder, dict[str, Report]], tmp_path: Path
) -> None:
    folder, _ = naughty_club
    question, out = "select player_id, name from core.players order by player_id", tmp_path / f"answer.{form}"
    arguments = ["query", question, "--data", str(folder.path), "--format", form, "--out", str(out)]

    assert CliRunner().invoke(app, arguments).exit_code == 0

    assert _written(out, form) == ask(folder, question).rows()


def _written(out: Path, form: str) -> list[tuple[str, ...]]:
    if form == "parquet":
        return pl.read_parquet(out).rows()
    if form == "json":
        return [tuple(row.values()) for row in json.loads(out.read_text("utf-8"))]
    _, *rows = csv.reader(io.StringIO(out.read_text("utf-8"), newline=""))
    assert not any(cell.lstrip(BLANKS)[0] in "=+@" for row in rows for cell in row)
    frame = pl.DataFrame(rows, schema=["player_id", "name"], orient="row")
    return frame.select(as_typed(pl.all())).rows()


def test_an_answer_as_a_table_steers_no_terminal(naughty_club: tuple[DataFolder, dict[str, Report]]) -> None:
    folder, _ = naughty_club

    question = "select name, chr(155) || '31m' as c1, chr(27) || '[2J' as esc from core.players"
    shown = CliRunner().invoke(app, ["query", question, "--data", str(folder.path)])

    assert shown.exit_code == 0
    assert "Ω≈ç√∫˜µ≤≥÷" in shown.output
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", shown.output)


@pytest.mark.parametrize("at", range(0, len(NAUGHTY), 100))
def test_as_headers_they_are_columns_that_no_log_knows(at: int) -> None:
    some = [text for text in NAUGHTY[at : at + 100] if text.strip(BLANKS) and "\n" not in text]
    header, line = SESSIONS.splitlines()
    text = io.StringIO()
    csv.writer(text).writerows([[*header.split(","), *some], [*line.split(","), *["x"] * len(some)]])

    reading = read_log("week.csv", text.getvalue().encode())

    assert reading.taken.ignored_columns == tuple(some)
    assert reading.lines.height == 1


def test_as_file_names_they_are_repeated_without_what_steers_a_terminal() -> None:
    wrong = sessions(spin=["bakspin"]).encode()
    for name in NAUGHTY:
        reading = read_log(name, wrong)

        assert reading.taken.file_name == name
        assert reading.lines.height == 1


def test_a_file_to_mend_of_them_all_is_read_back_as_it_was_typed(
    naughty_club: tuple[DataFolder, dict[str, Report]],
) -> None:
    _, reports = naughty_club
    report = reports["naughty groups.csv"]

    again = read_log("mend.csv", report.mendable.encode())

    assert again.cells["c2"].to_list() == [line.cells[2] for line in report.refused]
    assert again.cells["c2"].to_list() == [text for text in NAUGHTY if is_refused(text, 40)]
