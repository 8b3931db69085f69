"""Feeders and their noted landings come in by the front door, and are calibrated, moved and withdrawn there."""

import shutil
from pathlib import Path

import pytest

from demo_data.robot import SPEED_AT_NOUGHT_MPS, SPEED_STEP_MPS, SPIN_STEP_RPS, landings
from ingest.loading import Incoming, load, withdraw
from models.feeding_records import Landing
from models.records import columns_of
from sql.folder import DataFolder
from sql.log_book import CannotWithdraw
from sql.warehouse import ask
from tests.ingest.conftest import PLAYERS, TODAY, csv_file

FEEDERS = csv_file(
    "robots.csv",
    "feeder,speed dial lowest,speed dial highest,spin dial lowest,spin dial highest\nR1,0,10,-5,5\nR2,1,20,,\n",
)
SETUPS = csv_file("places.csv", "setup,x_cm,y_cm,feeder\nBC,-15,0,R1\n")


def landings_file(name: str = "landings.csv") -> Incoming:
    """The invented landings of the demo club's robot, whose dials are known."""
    columns = [column.name for column in columns_of(Landing)]
    rows = [[getattr(ball, column) for column in columns] for ball in landings()]
    lines = [",".join("" if cell is None else str(cell) for cell in row) for row in [columns, *rows]]
    return csv_file(name, "\n".join(lines) + "\n")


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """Landings, setups, feeders and players, given in this order, as one load: batches 1 to 4. Only to be read."""
    folder = DataFolder(tmp_path_factory.mktemp("feeders") / "club")
    files = [landings_file(), SETUPS, FEEDERS, csv_file("players.csv", PLAYERS)]
    reports = load(folder, files, "tester", today=TODAY)
    assert [report.file_name for report in reports] == ["players.csv", "robots.csv", "places.csv", "landings.csv"]
    assert all(report.is_sound for report in reports)
    return folder


def test_a_feeder_is_calibrated_from_its_landings_under_every_set_and_with_their_day(club: DataFolder) -> None:
    """What the dials truly give lies in the range of the set by which the balls were flown."""
    rows = ask(
        club,
        "select dial, coefficients, balls, slope_low, slope, slope_high, verdict, noted_from, noted_to"
        " from report.dial_calibrations where feeder_id = 'R1' order by dial, coefficients",
    ).to_dicts()
    found = {(row["dial"], row["coefficients"]): row for row in rows}

    assert len(found) == 8
    for dial, truth in (("speed", SPEED_STEP_MPS), ("spin", SPIN_STEP_RPS)):
        line = found[dial, "A"]
        assert line["slope_low"] < truth < line["slope_high"]
        assert (line["balls"], line["verdict"]) == (16, "straight")
        assert str(line["noted_from"]) == str(line["noted_to"]) == "2026-11-09"
    at_seven = ask(
        club,
        "select intercept + 7 * slope as speed_mps from report.dial_calibrations"
        " where feeder_id = 'R1' and dial = 'speed' and coefficients = 'A'",
    ).item()
    assert at_seven == pytest.approx(SPEED_AT_NOUGHT_MPS + 7 * SPEED_STEP_MPS, abs=0.1)


def test_a_feeder_without_landings_is_not_calibrated_yet_and_one_without_a_spin_dial_has_one_dial(
    club: DataFolder,
) -> None:
    rows = ask(
        club, "select distinct dial, balls, noted_to, verdict from report.dial_calibrations where feeder_id = 'R2'"
    ).rows()

    assert rows == [("speed", 0, None, "too_few")]


@pytest.mark.parametrize("needed", [2, 3], ids=["the feeder", "the setup"])
def test_a_feeder_and_a_setup_stay_while_landings_name_them(club: DataFolder, needed: int) -> None:
    with pytest.raises(CannotWithdraw, match="players, feeders or setups"):
        withdraw(club, needed, "tester")

    assert ask(club, "select count(withdrawn_at) from core.batches").item() == 0


def test_withdrawn_landings_no_longer_calibrate(club: DataFolder, tmp_path: Path) -> None:
    copy = DataFolder(shutil.copytree(club.path, tmp_path / "club"))
    withdraw(copy, 4, "tester")

    assert ask(copy, "select distinct balls, verdict from report.dial_calibrations").rows() == [(0, "too_few")]


def test_a_setup_tells_its_feeder_and_where_the_head_must_point(club: DataFolder) -> None:
    answer = ask(club, "select feeder_id, distance_cm, yaw_to_centre_deg, head_turn_deg from core.setups").unique()

    assert answer.rows() == [("R1", 260.0, 0.0, None)]
