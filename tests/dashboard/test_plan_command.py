"""The command `halflong plan`: the next session of a player or a group, for a coach and for a script."""

import json
from datetime import date, timedelta
from pathlib import Path

import polars as pl
import pytest
from typer import BadParameter
from typer.testing import CliRunner, Result

from dashboard import questions
from dashboard.command_line import app
from dashboard.commands import plan as command
from dashboard.commands.plan import NobodyToPlanFor
from dashboard.questions import owners_desk
from dashboard.services import plans
from dashboard.services.plans import NothingToPlan
from ingest.loading import load
from sql.folder import DataFolder
from sql.warehouse import NothingPublished
from tests.dashboard.conftest import SMALL_CLUB, incoming

TODAY = date(2025, 3, 13)


@pytest.fixture(autouse=True)
def _on_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "today", lambda: TODAY)


def halflong(folder: DataFolder | Path, *arguments: str) -> Result:
    path = folder.path if isinstance(folder, DataFolder) else folder
    return CliRunner().invoke(app, ["plan", *arguments, "--data", str(path)])


def test_a_player_is_told_what_comes_next_from_where_how_many_and_why(built_club: DataFolder) -> None:
    """Ada lacks topspin from the middle and both spins from near the net; three blocks with one move take 10.8 min."""
    said = halflong(built_club, "ADA", "--minutes", "30").output

    assert "Ada Lind (ADA): 3 blocks, 90 balls, about 11 minutes; the feeder is moved once." in said
    assert "middle right (MR): 30 balls, one kind of ball, about 3 minutes" in said
    assert "From near the net, topspin — never met" in said
    assert "Off and unplugged before you lift it" in said
    assert "Left out" not in said


def test_what_does_not_fit_is_said(built_club: DataFolder) -> None:
    said = halflong(built_club, "ADA", "--minutes", "9").output

    assert "2 blocks, 60 balls, about 5 minutes; the feeder stays where it stands." in said
    assert "Left out: no time is left for 1 kind of ball (from the middle, topspin)." in said
    assert "The log is old" not in said


def test_for_a_later_day_the_plan_counts_from_it_and_says_that_the_log_is_old(built_club: DataFolder) -> None:
    """In six weeks nothing that Ada met is in the window any more: what she met is planned again, never met first."""
    later = TODAY + timedelta(weeks=6)

    said = halflong(built_club, "ADA", "--minutes", "60", "--on", later.isoformat()).output
    (told,) = json.loads(
        halflong(built_club, "ADA", "--minutes", "60", "--on", later.isoformat(), "--format", "json").stdout
    )

    assert "The log is old: it ends on 11 March, 44 days before." in said
    assert "not met lately, last on" in said
    assert told["day"] == later.isoformat()
    whys = [kind["why"] for block in told["blocks"] for kind in block["kinds"]]
    assert sorted(whys) == ["never_met"] * 3 + ["not_lately"] * 3


def test_a_script_gets_every_block_with_its_feeds_in_the_words_of_the_log(built_club: DataFolder) -> None:
    (told,) = json.loads(halflong(built_club, "ada", "--minutes", "30", "--format", "json").stdout)

    assert (told["player"], told["minutes"], told["balls"], told["kept_for"]) == ("ADA", 10.8, 90, None)
    kinds = [kind for block in told["blocks"] for kind in block["kinds"]]
    assert sorted((kind["feed"]["setup"], kind["feed"]["spin"], kind["why"]) for kind in kinds) == [
        ("MR", "topspin", "never_met"),
        ("NC", "backspin", "never_met"),
        ("NC", "topspin", "never_met"),
    ]
    assert len(told["moves"]) == 1


def test_a_group_is_planned_player_by_player_and_kept_for_the_day(small_club: DataFolder) -> None:
    later = TODAY + timedelta(days=2)

    result = halflong(small_club, "juniors", "--minutes", "30", "--keep", "--on", later.isoformat())

    desk = owners_desk(small_club)
    assert [name in result.output for name in ("Ada Lind", "Ben Orr", "Cléo Marsh")] == [True, True, False]
    assert result.output.count("Kept for 2025-03-15: the table offers it.") == 2
    kept = {player: plans.next_kept(desk, player, TODAY) for player in ("ADA", "BEN", "CLEO")}
    assert {player: plan.meant_for for player, plan in kept.items() if plan} == {"ADA": later, "BEN": later}


def test_a_script_gets_an_empty_list_where_there_is_nothing_to_plan(built_club: DataFolder) -> None:
    """The reason stands beside the answer: whether anything is lacking is no failure of the command."""
    told = halflong(built_club, "ADA", "--minutes", "1", "--format", "json")

    assert (json.loads(told.stdout), told.exit_code) == ([], 0)
    assert "Ada Lind (ADA): Not one block fits into 1 minute." in told.stderr


def test_without_keep_nothing_is_kept(small_club: DataFolder) -> None:
    halflong(small_club, "ADA", "--minutes", "30")

    assert plans.next_kept(owners_desk(small_club), "ADA", TODAY) is None


@pytest.mark.parametrize(
    ("whom", "minutes", "error", "sentence"),
    [
        ("ADDA", "30", NobodyToPlanFor, "No active player and no group is called 'ADDA'. Did you mean ADA?"),
        ("DAN", "30", NobodyToPlanFor, "No active player and no group is called 'DAN'"),
        ("ADA", "1", NothingToPlan, "Not one block fits into 1 minute."),
    ],
)
def test_what_cannot_be_planned_is_a_sentence(
    built_club: DataFolder, whom: str, minutes: str, error: type[Exception], sentence: str
) -> None:
    problem = halflong(built_club, whom, "--minutes", minutes).exception

    assert isinstance(problem, error)
    assert sentence in str(problem)


def test_without_a_target_nothing_is_wanted_and_that_is_said(tmp_path: Path) -> None:
    folder = DataFolder(tmp_path / "club")
    files = {name: text for name, text in SMALL_CLUB.items() if name != "targets.csv"}
    load(folder, incoming(files), "test", today=TODAY)

    problem = halflong(folder, "ADA", "--minutes", "30").exception

    assert isinstance(problem, NothingToPlan)
    assert str(problem) == (
        "Ada Lind (ADA): No target applies to this player, so nothing is wanted that could be planned."
    )


def test_who_lacks_nothing_is_told_to_keep_the_mix(built_club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(questions, "feed_next", lambda *_: pl.DataFrame())

    # So many minutes were asked for nowhere else: a plan that was proposed once is kept.
    problem = halflong(built_club, "ADA", "--minutes", "29").exception

    assert (
        str(problem) == "Ada Lind (ADA): Every wanted combination is covered, and none is clearly weak. Keep the mix."
    )


def test_without_a_club_there_is_nothing_to_plan(tmp_path: Path) -> None:
    assert isinstance(halflong(tmp_path, "ADA", "--minutes", "30").exception, NothingPublished)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--minutes", "30", "--on", "2025-03-12"), "2025-03-12 is over"),
        (("--minutes", "30", "--on", "soon"), "soon"),
        (("--minutes", "0"), "or equal to 1"),
        ((), "--minutes"),
    ],
)
def test_wrong_use_is_told_and_has_the_exit_code_of_wrong_use(
    built_club: DataFolder, arguments: tuple[str, ...], sentence: str
) -> None:
    result = halflong(built_club, "ADA", *arguments)

    assert result.exit_code == BadParameter("").exit_code == 2
    assert sentence in result.output
