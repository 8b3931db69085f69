"""Batches: loaded whole, repeated without effect, superseded line by line, withdrawn."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from ingest.loading import Incoming, Report, check, load, withdraw
from ingest.reading import kind_at_top, read_log
from sql.folder import DataFolder, FolderProblem
from sql.log_book import CannotWithdraw
from sql.warehouse import ask, held, warehouse
from tests.few_tables import few_tables
from tests.ingest.conftest import BASICS, SETUPS, TODAY, csv_file
from tests.ingest.log_files import sheet_of

Load = Callable[..., list[Report]]


@pytest.fixture(scope="module", autouse=True)
def _few_tables() -> Iterator[None]:
    with few_tables():
        yield


HEADER = "session_date,player,setup,spin,length,block,tempo_bpm,balls,good,net,long,wide,missed,minutes,effort\n"
WEEK_1 = (
    HEADER + "2026-05-04,P1,BC,backspin,short,1,30,40,30,6,2,1,1,5,4\n2026-05-04,P2,MR,topspin,long,1,70,20,11,,,,,4,\n"
)
WEEK_2 = (
    HEADER + "2026-05-11,P1,MR,topspin,long,1,70,30,20,,,,,5,6\n2026-05-12,P3,BC,no_spin,half_long,1,,25,20,,,,,,\n"
)
BALLS = "session_date,player,block,setup,spin,length,ball,outcome\n" + "".join(
    f"2026-05-06,P2,1,{setup},{spin},short,{ball},{outcome}\n"
    for ball, (setup, spin, outcome) in enumerate(
        [("BC", "backspin", "good"), ("MR", "topspin", "net"), ("BC", "backspin", "good"), ("MR", "topspin", "long")]
        * 4,
        start=1,
    )
)


def lines(folder: DataFolder) -> str:
    """All that is published of what was fed."""
    return ask(folder, "select * from core.fed_lines order by all").write_json()


def test_a_file_goes_in_and_its_balls_are_published(folder: DataFolder, load_files: Load) -> None:
    (report,) = load_files(csv_file("w1.csv", WEEK_1))

    assert (report.lines_read, report.lines_accepted, report.lines_refused) == (2, 2, 0)
    assert report.comparison.new == 2
    played = ask(folder, "select player_id, side, balls, good from core.fed_lines order by player_id")
    assert played.rows() == [("P1", "centre", 40, 30), ("P2", "backhand", 20, 11)]


def test_the_same_file_twice_changes_nothing_and_says_so(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    before = folder.publication_in_force()

    (report,) = load_files(csv_file("w1.csv", WEEK_1))

    assert report.batch is None
    assert report.repeats_batch == 4
    assert folder.publication_in_force() == before


def test_the_same_file_is_screened_anew_where_lines_were_refused_that_are_right_now(
    folder: DataFolder, load_files: Load
) -> None:
    newcomer = csv_file("w1.csv", WEEK_1.replace("P2", "P4"))
    load_files(newcomer)
    load_files(csv_file("more.csv", "player,handedness\nP4,left\n"))

    (report,) = load_files(newcomer)

    assert report.is_sound
    assert report.batch == 6
    outstanding = ask(folder, "select count(*) from core.refusals where not is_mended").item()
    assert outstanding == 0


def test_a_corrected_file_supersedes_line_by_line_and_withdrawing_it_gives_the_lines_back(
    folder: DataFolder, load_files: Load
) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    original = lines(folder)

    (report,) = load_files(csv_file("w1-corrected.csv", WEEK_1.replace("40,30,6", "40,29,7")))
    assert (report.comparison.new, report.comparison.correcting, report.comparison.already_there) == (0, 1, 1)
    assert ask(folder, "select good from core.fed_lines where player_id = 'P1'").item() == 29

    assert report.batch is not None
    withdraw(folder, report.batch, "tester")
    assert lines(folder) == original


def test_a_tally_gives_way_to_the_balls_of_the_same_block_and_comes_back(folder: DataFolder, load_files: Load) -> None:
    tally = csv_file("tally.csv", HEADER + "2026-05-06,P2,BC,backspin,short,1,30,16,9,,,,,5,4\n")
    load_files(tally, csv_file("balls.csv", BALLS))
    assert ask(folder, "select sum(balls), sum(good) from core.fed_lines").row(0) == (16, 8)

    withdraw(folder, 5, "tester")
    assert ask(folder, "select sum(balls), sum(good) from core.fed_lines").row(0) == (16, 9)


def test_check_says_what_load_would_say_and_changes_nothing(folder: DataFolder, load_files: Load) -> None:
    files = [csv_file("w1.csv", WEEK_1.replace("backspin", "bakspin"))]
    before = {file.name: file.read_bytes() for file in folder.path.iterdir() if file.is_file()}

    (checked,) = check(folder, files, today=TODAY)

    assert {file.name: file.read_bytes() for file in folder.path.iterdir() if file.is_file()} == before
    (loaded,) = load_files(*files)
    assert checked.refusals == loaded.refusals
    assert (checked.lines_accepted, checked.lines_refused) == (1, 1)
    assert checked.batch is None


def test_check_on_an_empty_folder_knows_what_the_other_files_would_bring(empty_folder: DataFolder) -> None:
    reports = check(empty_folder, [csv_file("w1.csv", WEEK_1), *BASICS], today=TODAY)

    assert all(report.is_sound for report in reports)
    assert not empty_folder.path.exists()


def test_refused_lines_come_back_ready_to_mend_and_the_mended_ones_settle_them(
    folder: DataFolder, load_files: Load
) -> None:
    faulty = WEEK_1.replace("backspin", "bakspin")
    (report,) = load_files(csv_file("w1.csv", faulty))
    header, line = report.mendable.splitlines()
    assert header.split(",")[-2:] == ["mends", "refused_because"]
    assert "do: use backspin" in line
    assert ask(folder, "select count(*) from core.refusals where not is_mended").item() == 1

    (mended,) = load_files(csv_file("w1-refused.csv", report.mendable.replace("bakspin,", "backspin,", 1)))

    assert mended.is_sound
    assert ask(folder, "select count(*) from core.refusals where not is_mended").item() == 0
    assert ask(folder, "select sum(balls) from core.fed_lines").item() == 60


def test_every_accepted_line_knows_its_file_line_batch_who_and_when(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("w1.csv", WEEK_1))

    with held(folder), warehouse(folder) as connection:
        rows = connection.execute(
            "select l.line, b.file_name, length(b.file_sha256), b.loaded_by, b.loaded_at is not null"
            " from log.sessions as l join log.batches as b on l.batch = b.batch order by l.line"
        ).fetchall()

    assert rows == [(2, "w1.csv", 64, "tester", True), (3, "w1.csv", 64, "tester", True)]


def test_players_that_the_log_names_cannot_be_withdrawn(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    before = lines(folder)

    with pytest.raises(CannotWithdraw, match="batches 4"):
        withdraw(folder, 1, "tester")

    assert lines(folder) == before


def test_setups_that_the_log_names_cannot_be_withdrawn(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("w1.csv", WEEK_1))

    with pytest.raises(CannotWithdraw, match="Withdraw those first"):
        withdraw(folder, 2, "tester")


@pytest.mark.parametrize(("batch", "sentence"), [(9, "There is no batch 9"), (4, "was withdrawn already")])
def test_withdrawing_what_is_not_in_force_is_refused(
    folder: DataFolder, load_files: Load, batch: int, sentence: str
) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    withdraw(folder, 4, "tester")

    with pytest.raises(CannotWithdraw, match=sentence):
        withdraw(folder, batch, "tester")


def test_an_unreadable_file_stores_nothing_and_the_others_go_in(folder: DataFolder, load_files: Load) -> None:
    reports = load_files(Incoming("page.csv", b"<html><body>week 1</body></html>"), csv_file("w1.csv", WEEK_1))

    refused = [report for report in reports if not report.is_sound]
    assert [report.file_name for report in refused] == ["page.csv"]
    assert ask(folder, "select count(*) from core.batches").item() == 4


def test_a_line_that_cannot_be_stored_leaves_nothing_of_its_batch(folder: DataFolder, load_files: Load) -> None:
    with held(folder), warehouse(folder) as connection:
        connection.execute("create or replace table log.refusals as select * exclude (cells) from log.refusals")

    with pytest.raises(Exception, match="refusals"):
        load_files(csv_file("w1.csv", WEEK_1.replace("backspin", "bakspin")))

    with held(folder), warehouse(folder) as connection:
        counts = connection.execute("select (select count(*) from log.batches), (select count(*) from log.sessions)")
        assert counts.fetchall() == [(3, 0)]


def test_a_load_whose_publication_was_lost_is_published_by_the_next_command(
    folder: DataFolder, load_files: Load
) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    publication = folder.publication_in_force()
    assert publication is not None
    publication.unlink()

    load_files(csv_file("w1.csv", WEEK_1))

    assert ask(folder, "select sum(balls) from core.fed_lines").item() == 60


def test_changed_settings_are_published_by_the_next_load(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("w1.csv", WEEK_1))
    folder.settings_file.write_text("covered_balls = 33\n")

    load_files(csv_file("w1.csv", WEEK_1))

    assert json.loads(ask(folder, "select settings from report.build").item())["covered_balls"] == 33


def test_another_club_id_is_refused_before_anything_is_stored(folder: DataFolder, load_files: Load) -> None:
    folder.settings_file.write_text('club_id = "other"\n')

    with pytest.raises(FolderProblem, match="Put club_id = 'club' back"):
        load_files(csv_file("w1.csv", WEEK_1))


def test_accepted_and_refused_lines_add_up_in_the_log(folder: DataFolder, load_files: Load) -> None:
    broken = WEEK_1 + "2026-05-04,P9,BC,backspin,short,2,30,40,30,,,,,5,4\nonly,two\n"
    load_files(csv_file("w1.csv", broken))

    sums = ask(folder, "select lines_read, lines_accepted, lines_refused from core.batches where batch = 4").row(0)
    assert sums == (4, 2, 2)
    assert ask(folder, "select count(distinct line) from core.refusals").item() == 2


def test_a_moved_setup_counts_from_its_day_on(folder: DataFolder, load_files: Load) -> None:
    load_files(csv_file("setups-moved.csv", SETUPS + "BC,100,0,2026-05-10\n"))
    late = WEEK_1.replace("2026-05-04,P1,BC", "2026-05-11,P1,BC")
    load_files(csv_file("early.csv", WEEK_1), csv_file("late.csv", late))

    depths = ask(folder, "select session_date, depth from core.fed_lines where setup_id = 'BC' order by session_date")
    assert depths["depth"].to_list() == ["back", "near"]


def test_long_files_are_read_one_by_one_and_still_go_in_by_kind(
    empty_folder: DataFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ingest.incoming.LONG_BYTES", 120)
    read: list[str] = []
    monkeypatch.setattr("ingest.incoming.read_log", lambda name, *a, **k: read.append(name) or read_log(name, *a, **k))
    files = [csv_file("w1.csv", WEEK_1), csv_file("broken.csv", "a log of ours\n" * 9), *BASICS]
    paths = [tmp_path / file.name for file in files]
    for path, file in zip(paths, files, strict=True):
        path.write_bytes(file.content)

    reports = load(empty_folder, map(Incoming.from_path, paths), "tester", today=TODAY)

    kinds = [report.taken.kind if report.taken else None for report in reports]
    assert kinds == ["players", "setups", "targets", "sessions", None]
    assert all(report.is_sound for report in reports[:4])
    assert (len(read), read[-1]) == (len(files), "w1.csv")


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16"])
def test_the_top_of_a_long_text_tells_its_kind_or_nothing(codec: str) -> None:
    text = "Übungsabende\n" + WEEK_1 + WEEK_1.splitlines()[1].replace("P1", '"Ö\n"') * 2000
    whole = text.encode(codec)

    assert {kind_at_top("w1.csv", whole[:size]) for size in range(300, 400)} <= {"sessions", None}
    assert kind_at_top("w1.csv", sheet_of([["player"], ["P1"]])) is None


def test_a_file_that_cannot_be_read_is_told_before_anything_is_stored(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        Incoming.from_path(tmp_path / "missing.csv")


def test_lines_that_name_a_refused_player_follow_from_that_refusal_and_offer_whom_else_they_may_mean(
    folder: DataFolder, load_files: Callable[..., list[Report]]
) -> None:
    """P7 is neither right nor left-handed; both lines of P7 follow from it, that of a stranger does not."""
    players = csv_file("club.csv", "player,handedness\nP7,both\n")
    named = ("P7", "P7", "Q9")
    lines = [f"2026-05-04,{who},{block},BC,topspin,long,40,30" for block, who in enumerate(named, start=1)]
    logs = csv_file("week.csv", "\n".join(["session_date,player,block,setup,spin,length,balls,good", *lines]))

    _, week = load_files(players, logs)

    follow = {refusal.seen: refusal.follows for refusal in week.refusals if refusal.column == "player"}
    assert follow == {"P7": "line 2 of club.csv", "Q9": None}
    assert "mend line 2 of club.csv first, where P7 was refused" in week.refusals[0].to_do
