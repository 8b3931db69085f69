"""The command `halflong`, as its users type it."""

import csv
import io
import json
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import polars as pl
import pytest
from typer.testing import CliRunner, Result

from dashboard.command_line import app
from dashboard.services.served_folder import NotServed
from dashboard.serving import require_free, require_loopback
from ingest.loading import Incoming, load
from ingest.reading import read_log
from ingest.templates import example_csv
from models.records import RECORDS
from sql.folder import DataFolder
from sql.published_file import QuestionRefused
from sql.warehouse import NothingPublished
from tests.few_tables import few_tables
from tests.ingest.conftest import BASICS, TODAY

WEEK = "session_date,player,setup,spin,length,balls,good\n2026-05-04,P1,BC,backspin,short,40,30\n"


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A published club with one line in its log. Only to be read, or copied."""
    path = tmp_path_factory.mktemp("command-line") / "club"
    load(DataFolder(path), [*BASICS, Incoming("week.csv", WEEK.encode())], "tester", today=TODAY)
    return path


@pytest.fixture
def own_club(club: Path, tmp_path: Path) -> Iterator[Path]:
    """A copy, in which a load publishes a few tables."""
    with few_tables():
        yield Path(shutil.copytree(club, tmp_path / "club"))


def halflong(*arguments: str | Path) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def written(folder: Path, name: str, text: str) -> Path:
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def test_a_sound_file_is_loaded_with_exit_0(own_club: Path, tmp_path: Path) -> None:
    result = halflong("load", written(tmp_path, "w2.csv", WEEK.replace("05-04", "05-11")), "--data", own_club)

    assert result.exit_code == 0
    assert "1 lines read, 1 accepted (1 new, 0 correcting, 0 already there), 0 refused" in result.output
    assert "Stored as batch 5." in result.output


def test_a_refused_line_is_told_with_exit_1_and_comes_back_as_a_file(own_club: Path, tmp_path: Path) -> None:
    week = written(tmp_path, "w2.csv", WEEK.replace("backspin", "bakspin"))

    result = halflong("load", week, "--data", own_club, "--refusals", tmp_path / "mend")

    assert result.exit_code == 1
    assert "w2.csv, line 2, column spin: saw 'bakspin', expected one of heavy_backspin" in result.output
    rows = list(csv.DictReader(io.StringIO((tmp_path / "mend" / "w2-refused.csv").read_text(encoding="utf-8-sig"))))
    assert [row["mends"] for row in rows] == [f"{sha256(week.read_bytes()).hexdigest()[:12]}:2"]
    assert "do: use backspin" in rows[0]["refused_because"]


def test_check_says_the_same_and_stores_nothing(own_club: Path, tmp_path: Path) -> None:
    week = written(tmp_path, "w2.csv", WEEK.replace("backspin", "bakspin"))

    result = halflong("check", week, "--data", own_club)

    assert result.exit_code == 1
    assert "saw 'bakspin'" in result.output
    assert "Stored" not in result.output
    assert "4 rows" in halflong("batches", "--data", own_club).output


def test_ambiguous_dates_are_taken_as_the_user_says(own_club: Path, tmp_path: Path) -> None:
    week = written(tmp_path, "w2.csv", WEEK.replace("2026-05-04", "05/04/2026"))

    assert "--dates" in halflong("load", week, "--data", own_club).output
    assert halflong("load", week, "--data", own_club, "--dates", "day-first").exit_code == 0
    asked = halflong("query", "select max(session_date), min(session_date) from core.fed_lines", "--data", own_club)
    assert "2026-04-05" in asked.output


def test_a_file_that_could_be_two_kinds_is_taken_as_the_user_says(own_club: Path, tmp_path: Path) -> None:
    both = WEEK.replace("good", "good,ball,outcome").replace(",30\n", ",30,1,good\n")
    week = written(tmp_path, "w2.csv", both)

    assert "--kind" in halflong("load", week, "--data", own_club).output
    assert "(balls): 1 lines read, 1 accepted" in halflong("load", week, "--data", own_club, "--kind", "balls").output


def test_a_batch_is_withdrawn(own_club: Path) -> None:
    assert halflong("withdraw", "4", "--data", own_club).exit_code == 0
    assert "0" in halflong("query", "select count(*) from core.fed_lines", "--data", own_club, "--format", "csv").output


@pytest.mark.parametrize("form", ["csv", "json"])
def test_an_answer_is_written_for_other_programs(club: Path, form: str) -> None:
    question = "select player_id, balls, rate from report.success where cut = 'all'"
    output = halflong("query", question, "--data", club, "--format", form).stdout
    rows = json.loads(output) if form == "json" else list(csv.DictReader(io.StringIO(output)))

    assert [(row["player_id"], int(row["balls"]), float(row["rate"])) for row in rows] == [("P1", 40, 0.75)]


def test_an_answer_is_written_as_parquet(club: Path, tmp_path: Path) -> None:
    out = tmp_path / "answer.parquet"
    halflong("query", "select player_id, name from core.players", "--data", club, "--format", "parquet", "--out", out)

    assert pl.read_parquet(out).height == 3


@pytest.mark.parametrize(
    "question",
    [
        "delete from core.players",
        "select 1; select 2",
        "copy (select 1) to 'stolen.csv'",
        "select * from '/etc/passwd'",
        "select * from read_text('/etc/passwd')",
        "attach 'other.duckdb'",
        "not sql at all",
        "select * from core.nowhere",
        "select interval 1 day",
        "select union_value(a := 1)",
    ],
)
def test_a_query_can_only_read_the_published_tables(club: Path, question: str, tmp_path: Path) -> None:
    result = halflong("query", question, "--data", club)

    assert result.exit_code != 0
    assert isinstance(result.exception, QuestionRefused)
    assert not (Path.cwd() / "stolen.csv").exists()


def test_a_folder_without_a_club_says_what_to_do(tmp_path: Path) -> None:
    result = halflong("query", "select 1", "--data", tmp_path)

    assert isinstance(result.exception, NothingPublished)
    assert "halflong load" in str(result.exception)


def test_wrong_use_exits_with_2(tmp_path: Path) -> None:
    assert halflong("load", tmp_path / "missing.csv").exit_code == 2
    assert halflong("template", "umbrellas").exit_code == 2
    assert halflong("withdraw", "none").exit_code == 2


@pytest.mark.parametrize("kind", list(RECORDS))
def test_each_template_is_a_log_of_its_kind(kind: str) -> None:
    template = halflong("template", kind)

    assert template.exit_code == 0
    filled_in = template.stdout + example_csv(kind).splitlines()[1]
    assert read_log("template.csv", filled_in.encode()).taken.kind == kind


@pytest.mark.parametrize("kind", list(RECORDS))
def test_each_format_is_explained_column_by_column(kind: str) -> None:
    explained = halflong("template", kind, "--as", "explanation").stdout

    assert all(f"| {column} |" in explained for column in RECORDS[kind].model_fields)


def test_a_problem_is_told_in_a_sentence_without_a_traceback(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "dashboard.command_line", "query", "select 1", "--data", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)

    assert done.returncode == 1
    assert "nothing is published here yet" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize("address", ["0.0.0.0", "192.168.1.5", "::", "club.example", ""])  # noqa: S104 - refused
def test_an_address_that_others_can_reach_is_refused(address: str) -> None:
    with pytest.raises(NotServed, match="this machine only"):
        require_loopback(address)


@pytest.mark.parametrize("address", ["127.0.0.1", "::1", "localhost", "127.0.0.9"])
def test_an_address_of_this_machine_is_served(address: str) -> None:
    require_loopback(address)


def test_a_port_in_use_is_told() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken, pytest.raises(NotServed, match="in use"):
        require_free("127.0.0.1", taken.getsockname()[1])


def test_files_to_mend_of_logs_with_one_name_do_not_take_each_others_place(own_club: Path, tmp_path: Path) -> None:
    """Nor the place of a file that somebody is mending; the same refusals once more are the same file."""
    wrong = WEEK.replace("backspin", "bakspin")
    for folder, text in (("a", wrong), ("b", wrong.replace("40", "41")), ("a", wrong)):
        (tmp_path / folder).mkdir(exist_ok=True)
        week = written(tmp_path / folder, "w2.csv", text)
        halflong("check", week, "--data", own_club, "--refusals", tmp_path / "mend")

    assert sorted(file.name for file in (tmp_path / "mend").iterdir()) == ["w2-refused-2.csv", "w2-refused.csv"]


@pytest.mark.parametrize(("form", "value"), [("csv", "[1, 2]"), ("csv", "'x'::blob"), ("json", "'x'::blob")])
def test_an_answer_that_its_form_cannot_hold_is_refused_in_a_sentence(club: Path, form: str, value: str) -> None:
    result = halflong("query", f"select {value} as odd", "--data", club, "--format", form)

    assert isinstance(result.exception, QuestionRefused)
    assert "odd" in str(result.exception)


def test_a_formula_in_an_answer_leaves_as_text_and_a_number_as_a_number(club: Path) -> None:
    """OWASP, "CSV Injection"."""
    asked = halflong("query", "select '=1+1' as a, -20 as b, '-20' as c, null as d", "--data", club, "--format", "csv")

    assert asked.output == "a,b,c,d\n'=1+1,-20,-20,\n"
