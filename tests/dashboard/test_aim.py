"""The command `halflong aim`: where to point a feeder's head, for a coach and for a script."""

import json
import shutil
import subprocess
import sys
from math import atan2, degrees, hypot
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from dashboard.command_line import app
from ingest.loading import Incoming, load
from sql.folder import DataFolder
from sql.warehouse import NothingPublished
from tests.ingest.conftest import TODAY

SETUPS = """\
setup,name,x_cm,y_cm,release_height_cm,yaw_deg,valid_from
BC,back centre,0,0,25,0,
BR,back right corner,0,60,25,-8,
NC,NC,105,0,,,
MV,moved,-20,0,25,,
MV,moved,60,-50,25,,2026-03-02
"""


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Some setups, one of them moved since, and nothing else. Only to be read, or copied."""
    path = tmp_path_factory.mktemp("aim") / "club"
    load(DataFolder(path), [Incoming("setups.csv", SETUPS.encode())], "tester", today=TODAY)
    return path


def halflong(*arguments: str | Path) -> Result:
    return CliRunner().invoke(app, ["aim", *(str(argument) for argument in arguments)])


def aim_of(*arguments: str | Path) -> dict[str, object]:
    result = halflong(*arguments, "--format", "json")
    assert result.exit_code == 0, result.output
    return dict(json.loads(result.stdout))


def refusal(*arguments: str | Path) -> tuple[int, str, str]:
    """Exit code and both outputs of the command as its user runs it."""
    command = [sys.executable, "-m", "dashboard.command_line", "aim", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env={"COLUMNS": "400"})
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize(
    ("setup", "target", "yaw_deg"),
    [
        ("BC", "264,-66.25", -14.09),
        ("BR", "245,0", -13.76),
        ("BR", "264,-66.25", -25.56),
        ("70,0", "264,-66.25", -18.85),
        ("BC", "245,0", 0.0),
    ],
)
def test_the_head_points_along_the_line_to_the_target(club: Path, setup: str, target: str, yaw_deg: float) -> None:
    """Arc tangents of the offsets, worked by hand (elementary)."""
    assert aim_of(setup, target, "--data", club)["yaw_deg"] == pytest.approx(yaw_deg, abs=0.005)


def test_the_distance_is_that_of_the_ground_plan(club: Path) -> None:
    """Pythagoras: 1.72 and 0.50 m give 1.791 m, from the corner 2.042 m."""
    assert aim_of("BC", "172,-50", "--data", club)["distance_cm"] == pytest.approx(179.1, abs=0.05)
    assert aim_of("BR", "172,-50", "--data", club)["distance_cm"] == pytest.approx(204.2, abs=0.05)


def test_the_head_turns_from_where_the_log_says_it_points(club: Path) -> None:
    aim = aim_of("BR", "245,0", "--data", club)

    assert aim["logged_yaw_deg"] == -8
    assert aim["head_turn_deg"] == pytest.approx(degrees(atan2(-60, 245)) + 8)


def test_where_the_log_does_not_say_how_the_head_points_no_turn_is_told(club: Path) -> None:
    assert aim_of("NC", "245,0", "--data", club)["head_turn_deg"] is None
    assert "does not say how the head is turned" in halflong("NC", "245,0", "--data", club).output


def test_deep_centre_is_told_for_any_target(club: Path) -> None:
    aim = aim_of("BR", "172,-50", "--data", club)

    assert aim["deep_centre_distance_cm"] == pytest.approx(hypot(245, 60))
    assert aim["deep_centre_yaw_deg"] == pytest.approx(-13.76, abs=0.005)


def test_a_setup_that_was_moved_is_aimed_from_where_it_stands_now(club: Path) -> None:
    aim = aim_of("MV", "245,0", "--data", club)

    assert (aim["x_cm"], aim["y_cm"], aim["depth"]) == (60, -50, "middle")


@pytest.mark.parametrize(("hand", "side"), [("right", "forehand"), ("left", "backhand")])
def test_depth_and_side_are_named_for_the_hand(club: Path, hand: str, side: str) -> None:
    aim = aim_of("BR", "245,0", "--data", club, "--hand", hand)

    assert (aim["depth"], aim["side"], aim["hand"]) == ("back", side, hand)


def test_the_limits_of_depth_and_side_are_the_clubs_own(club: Path, tmp_path: Path) -> None:
    own = Path(shutil.copytree(club, tmp_path / "club"))
    (own / "club.toml").write_text("back_below_cm = -10\ncentre_within_cm = 70\n", encoding="utf-8")

    aim = aim_of("BR", "245,0", "--data", own)

    assert (aim["depth"], aim["side"]) == ("middle", "centre")


def test_a_place_needs_no_club_and_may_begin_with_a_minus(tmp_path: Path) -> None:
    aim = aim_of("-20,65", "250,0", "--data", tmp_path / "none yet")

    assert aim["setup"] is None
    assert aim["yaw_deg"] == pytest.approx(degrees(atan2(-65, 270)))


def test_the_answer_for_a_coach_names_both_points_of_view(club: Path) -> None:
    """Who stands behind the feeder looks the other way: the player's left is on his right."""
    said = halflong("BR", "245,0", "--data", club).output

    assert "Point the head 13.8° to the player's left" in said
    assert "29 cm before the player's end line and on the centre line, is 252 cm away" in said
    assert "turn it 5.8° to the player's left (to your right, as you stand behind the feeder)" in said
    assert "forehand side for a right-handed player" in said


def test_a_code_is_known_however_its_letters_are_cased(club: Path) -> None:
    assert aim_of("bc", "245,0", "--data", club)["setup"] == "BC"


@pytest.mark.parametrize(
    ("arguments", "exit_code", "sentence"),
    [
        (("BX", "245,0"), 1, "No setup has the code 'BX'. Did you mean B"),
        (("BX", "245,0"), 1, "Known are BC, BR, MV, NC."),
        (("-600,0", "245,0"), 1, "The feeder's x is -600 cm; possible is"),
        (("0,400", "245,0"), 1, "The feeder's y is 400 cm; possible is -350 to 350 cm"),
        (("140,0", "245,0"), 1, "stand at an x below 137 cm"),
        (("BC", "100,0"), 1, "The target's x is 100 cm; possible is 137 to 274 cm"),
        (("BC", "245,90"), 1, "The target's y is 90 cm; possible is -76.25 to 76.25 cm"),
        (("BC", "nan,0"), 2, "'nan,0' is not a place. Write two numbers in cm"),
        (("nan,nan", "245,0"), 2, "'nan,nan' is not a place"),
        (("BC", "1e3,0"), 2, "'1e3,0' is not a place"),
        (("BC", "deep"), 2, "'deep' is not a place"),
        (("BC", ""), 2, "'' is not a place"),
        (("BC", "1,2,3"), 2, "'1,2,3' is not a place"),
        (("BC", "245,0", "--hand", "both"), 2, "both"),
        (("BC", "9" * 400 + ",0"), 1, "The target's x is inf cm"),
    ],
)
def test_bad_input_gets_a_clear_sentence(
    club: Path, arguments: tuple[str, ...], exit_code: int, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, told = refused_in_process((*arguments, "--data", str(club)), capsys)

    assert code == exit_code
    assert sentence in " ".join(told.replace("│", " ").split())
    assert out == ""


def refused_in_process(arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    """Exit code and both outputs of the command's own main, in this process."""
    from dashboard.command_line import main

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["halflong", "aim", *arguments])
        with pytest.raises(SystemExit) as ended:
            main()
    said = capsys.readouterr()
    return int(str(ended.value.code)), said.out, said.err


def test_a_refusal_is_no_traceback(club: Path) -> None:
    code, out, told = refusal("BC", "100,0", "--data", club)

    assert (code, out) == (1, "")
    assert told == "The target's x is 100 cm; possible is 137 to 274 cm. Aim at the player's half.\n"


def test_without_a_club_a_code_cannot_be_known(tmp_path: Path) -> None:
    assert isinstance(halflong("BC", "245,0", "--data", tmp_path).exception, NothingPublished)
