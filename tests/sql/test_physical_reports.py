"""The judged tables of feeding, built from a small log: what came from where, how soon, and what a dial gives."""

from datetime import date

import duckdb
import pytest

from models.coefficients import ALL_SETS
from models.stance import Place, yaw_deg
from models.words import ANGLE_BAND, TIME_BAND
from sql.judging import judgements_in_order
from sql.making_tables import make_judgements
from sql.migrations import MIGRATIONS
from sql.warehouse import migrate
from tests.sql.clubs import Club, a_club

TABLES = tuple(
    f"report.{name}"
    for name in ("coefficients", "dial_calibrations", "doubtful_lengths", "feed_physics", "physical_coverage")
)
READ = ("core.feed_kinds", "core.feed_weeks", "core.player_weeks", "core.feeders", "core.landings")
WHOLE_CLUB = ("core.weeks", "core.block_conditions")

DEEP = {"spin": "topspin", "length": "long", "placement": "middle", "height": "medium", "good": 1}


def judged(club: Club) -> Club:
    club.build(*READ, *WHOLE_CLUB)
    club.connection.execute("create schema report")
    make_judgements(club.connection, tuple(each for each in judgements_in_order() if each.table in TABLES))
    return club


@pytest.fixture(scope="module")
def club():
    """R plays right-handed, L left-handed; feeders stand back centre, back on either side, and near the net."""
    with a_club() as club:
        club.load("players", {"player": "R"}, {"player": "L", "handedness": "left"})
        places = {"C": (-20, 0), "TO_RIGHT": (-20, 100), "TO_LEFT": (-20, -100), "NEAR": (120, 0)}
        club.load("setups", *({"setup": code, "x_cm": x, "y_cm": y} for code, (x, y) in places.items()))
        lines = [
            {"player": "R", "session_date": "2026-03-02", "setup": "TO_RIGHT", "balls": 30, **DEEP},
            {"player": "R", "session_date": "2026-03-03", "setup": "C", "balls": 10, **DEEP},
            {"player": "L", "session_date": "2026-03-02", "setup": "TO_RIGHT", "balls": 20, **DEEP},
            {"player": "R", "session_date": "2026-03-24", "setup": "NEAR", "balls": 40, **DEEP, "height": "low"},
            {"player": "R", "session_date": "2026-03-24", "block": 2, "setup": "C", "balls": 50}
            | {"spin": "heavy_topspin", "length": "short", "height": "low", "good": 0},
        ]
        club.load("sessions", *lines)
        yield judged(club)


def bands(club: Club, player: str, week: str, measure: str) -> dict[str, int]:
    where = f"player_id = '{player}' and week = '{week}' and measure = '{measure}' and balls > 0"
    return {row["band"]: row["balls"] for row in club.rows("report.physical_coverage", where=where)}


def test_a_kind_of_feed_comes_at_the_angle_of_the_geometry(club):
    """Without sidespin the way of the ball is straight from above, whatever the coefficients (exact)."""
    row = club.row("report.feed_physics", where="setup_id = 'TO_RIGHT' and handedness = 'right'")

    expected = yaw_deg(Place(-20, 100), Place(245, 0))
    assert (row["angle_low_deg"], row["angle_high_deg"]) == pytest.approx((expected, expected), abs=0.3)
    assert row["balls"] == 30


def test_the_same_feeder_stands_on_the_forehand_side_of_one_hand_and_the_backhand_side_of_the_other(club):
    assert bands(club, "R", "2026-03-02", "angle") == {"sharp_from_forehand": 30, "straight": 10}
    assert bands(club, "L", "2026-03-02", "angle") == {"sharp_from_backhand": 20}


def test_a_low_ball_from_near_the_net_leaves_less_time_than_an_ordinary_one_from_the_back(club):
    near, back = (
        club.row("report.feed_physics", where=f"setup_id = '{setup}' and spin = 'topspin'") for setup in ("NEAR", "C")
    )

    assert near["time_high_s"] < back["time_low_s"]
    assert near["bounce_high_s"] < near["time_low_s"]
    assert near["time_band"] == "hurried"


def test_a_doubtful_length_is_marked_and_still_counted(club):
    """A low heavy topspin ball from the back centre cannot bounce twice on the table (common practice, no source)."""
    doubtful = club.row("report.feed_physics", where="is_doubtful")

    assert (doubtful["spin"], doubtful["length"], doubtful["length_by_physics"]) == ("heavy_topspin", "short", "long")
    assert doubtful["balls"] == 50
    assert sum(bands(club, "R", "2026-03-23", "time").values()) == 30 + 10 + 40 + 50


def test_the_window_forgets_after_four_weeks(club):
    """The balls of the week of 2 March are in the window that ends with 29 March; the shares are of what it holds."""
    weeks = {row["week"] for row in club.rows("report.physical_coverage")}
    last = [row for row in club.rows("report.physical_coverage") if row["week"] == date(2026, 3, 23)]

    assert weeks == {date(2026, 3, day) for day in (2, 9, 16, 23)}
    assert {row["share"] for row in last if row["player_id"] == "R" and row["band"] == "sharp_from_forehand"} == {
        30 / 130
    }
    assert sum(row["share"] for row in last if row["player_id"] == "L" and row["measure"] == "angle") == 1


def test_every_band_has_a_row_so_that_what_is_missing_shows(club):
    rows = club.rows("report.physical_coverage", where="player_id = 'L' and week = '2026-03-02'")

    assert {row["band"] for row in rows} == {*ANGLE_BAND.names, *TIME_BAND.names}
    assert {row["balls"] for row in rows if row["band"] == "from_forehand"} == {0}


def test_a_short_window_holds_only_its_own_week():
    with a_club(window_days=7) as club:
        club.load("players", {"player": "R"})
        club.load("setups", {"setup": "C", "x_cm": -20, "y_cm": 0})
        days = ("2026-03-02", "2026-03-10")
        club.load(
            "sessions", *({"player": "R", "session_date": day, "setup": "C", "balls": 10, **DEEP} for day in days)
        )

        judged(club)
        assert bands(club, "R", "2026-03-09", "angle") == {"straight": 10}


def test_the_sets_of_coefficients_are_told_with_version_and_source(club):
    rows = club.rows("report.coefficients")

    assert [row["coefficients"] for row in rows] == [each.name for each in ALL_SETS]
    assert all(row["source"] and row["version"] >= 1 for row in rows)


def test_landings_long_before_the_latest_no_longer_calibrate():
    """Wheels wear: only the later evening counts, by the setting."""
    with a_club(calibration_days=30) as club:
        club.load("feeders", {"feeder": "R1"})
        club.load("setups", {"setup": "BC", "x_cm": -20, "y_cm": 0})
        evenings = {"2026-01-10": 20, "2026-03-01": 0}
        balls = [
            {"feeder": "R1", "noted_on": day, "ball": ball, "setup": "BC", "elevation_deg": 10}
            | {"speed_setting": 6 + ball % 3, "landing_x_cm": 180 + 20 * (ball % 3) + ball % 2 + further}
            for day, further in evenings.items()
            for ball in range(1, 10)
        ]
        club.load("landings", *balls)

        row = judged(club).row("report.dial_calibrations", where="dial = 'speed' and coefficients = 'A'")
        assert (row["balls"], row["settings"], row["noted_from"]) == (9, 3, date(2026, 3, 1))
        assert row["slope_low"] < row["slope"] < row["slope_high"]


def test_a_corrected_landing_takes_the_place_of_the_first():
    with a_club() as club:
        club.load("feeders", {"feeder": "R1"})
        club.load("setups", {"setup": "BC", "x_cm": -20, "y_cm": 0})
        ball = {"feeder": "R1", "noted_on": "2026-03-01", "ball": 1, "setup": "BC"}
        club.load("landings", ball | {"landing_x_cm": 200}, ball | {"ball": 2, "landing_x_cm": 210})
        corrected = club.load("landings", ball | {"landing_x_cm": 220})
        landed = club.build("core.landings").rows("core.landings", "ball, landing_x_cm")
        assert [tuple(row.values()) for row in landed] == [(1, 220), (2, 210)]

        club.withdraw(corrected)
        club.connection.execute("drop schema core cascade")
        landed = club.build("core.landings").rows("core.landings", "ball, landing_x_cm")
        assert [tuple(row.values()) for row in landed] == [(1, 200), (2, 210)]


def test_setups_of_a_log_from_before_there_were_feeders_stand_as_they_did_with_no_feeder_named(monkeypatch, tmp_path):
    first = next(MIGRATIONS.glob("0001_*.sql"))
    (tmp_path / first.name).write_bytes(first.read_bytes())
    with duckdb.connect() as connection:
        with monkeypatch.context() as before:
            before.setattr("sql.migrations.MIGRATIONS", tmp_path)
            migrate(connection)
        connection.execute(
            "insert into log.batches values"
            " ('club', 1, 'setups', 'file', 'a.csv', 'f', '', '', 1, 1, 0, 'tester', current_timestamp, null, null)"
        )
        connection.execute(
            "insert into log.setups by name select 'club' as club_id, 1 as batch, 2 as line,"
            " 'BC' as setup, -20 as x_cm, 0 as y_cm, date '1900-01-01' as valid_from"
        )

        migrate(connection)

        now = connection.execute("select setup, x_cm, feeder from log.setups_in_force").fetchall()
        assert now == [("BC", -20, None)]


def test_an_empty_club_has_no_kinds_of_feed():
    with a_club() as club:
        judged(club)

        assert club.rows("report.feed_physics") + club.rows("report.physical_coverage") == []
        assert club.rows("report.dial_calibrations") == []


def test_the_doubtful_balls_of_a_window_are_told_by_kind_and_in_all(club):
    """R's 50 short heavy topspin balls of 24 March are the only ones that cannot be so short."""
    (row,) = club.rows("report.doubtful_lengths")

    assert (row["player_id"], row["week"], row["balls"], row["doubtful_balls"]) == ("R", date(2026, 3, 23), 50, 50)
    assert (row["setup_id"], row["length"], row["length_by_physics"]) == ("C", "short", "long")
