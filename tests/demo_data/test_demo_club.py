"""The demo club's files are what its README says: small, repeatable, and sound but for the planted mistakes."""

import csv
import io
import tomllib
import zipfile
from collections import Counter
from datetime import date, datetime
from pathlib import Path

import fastexcel
import pytest
from pydantic import ValidationError

from demo_data import FOLDER, demo_files, demo_settings_file, stories
from demo_data.club import SETUPS, TARGETS
from demo_data.lines import clean_lines
from demo_data.make_demo_club import make_demo_club
from demo_data.people import PLAYERS
from demo_data.probe import probe_lines
from demo_data.robot import FEEDERS, landings
from models.log_line import LogLine
from models.records import RECORDS, BallLine, SessionLine
from models.settings import Settings

Line = SessionLine | BallLine

CLUB_FILES = 5
PLAYER_CODES = {player.player for player in PLAYERS}
SETUP_CODES = {setup.setup for setup in SETUPS}

# --- the files ---------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def made_again(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("club")
    make_demo_club(folder)
    return folder


def committed() -> list[Path]:
    return [*demo_files(), demo_settings_file(), FOLDER / "README.md", FOLDER / "planted_mistakes.csv"]


def test_the_demo_club_weighs_less_than_three_megabytes():
    assert sum(path.stat().st_size for path in committed()) < 3_000_000


def test_the_generator_writes_the_same_bytes_again(made_again):
    made = {path.relative_to(made_again): path for path in made_again.rglob("*.*")}

    assert {path.relative_to(FOLDER) for path in committed()} == set(made)
    for path in committed():
        assert bytes_of(path) == bytes_of(made[path.relative_to(FOLDER)]), path.name


def bytes_of(path: Path) -> bytes | dict[str, bytes]:
    """A workbook is compared by its parts: how tightly they are packed depends on the machine's zlib."""
    if path.suffix != ".xlsx":
        return path.read_bytes()
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


def test_the_files_come_in_loading_order():
    names = [path.name for path in demo_files()]

    assert names[:CLUB_FILES] == ["players.csv", "feeders.csv", "setups.csv", "targets.csv", "landings.csv"]
    assert names[CLUB_FILES:] == sorted(names[CLUB_FILES:])
    assert {f"2026-w{week}" for week in range(22, 48)} == {name[:8] for name in names[CLUB_FILES:]}
    assert names.index("2026-w41-main-hall.csv") < names.index("2026-w42-correction-of-w41-main-hall.csv")


def test_the_settings_say_that_the_club_is_invented():
    settings = Settings.model_validate(tomllib.loads(demo_settings_file().read_text("utf-8")))

    assert settings.is_invented
    assert "invented" in settings.club_name
    assert settings.club_id == "demo"


def test_the_wanted_grid_has_54_cells_and_the_minis_have_a_smaller_one():
    values = Counter((share.applies_to, share.dimension) for share in TARGETS if share.share > 0)

    assert values == {
        ("*", "depth"): 3,
        ("*", "side"): 3,
        ("*", "spin_family"): 3,
        ("*", "tempo_band"): 2,
        ("Minis", "depth"): 2,
        ("Minis", "side"): 3,
        ("Minis", "spin_family"): 2,
    }


@pytest.mark.parametrize(
    ("name", "encoding", "separator", "line_end"),
    [
        ("2026-w47-main-hall.csv", "utf-8", ",", "\n"),
        ("2026-w46-main-hall.csv", "utf-8-sig", ",", "\n"),
        ("2026-w47-annex.csv", "cp1252", ";", "\r\n"),
        ("2026-w47-school-gym.csv", "utf-16", "\t", "\r\n"),
    ],
)
def test_each_hand_saves_files_in_its_own_way(name, encoding, separator, line_end):
    content = (FOLDER / "logs" / name).read_bytes()
    first_line = content.decode(encoding).split(line_end)[0]

    assert separator in first_line
    assert content.startswith(b"\xef\xbb\xbf") == (encoding == "utf-8-sig")
    assert content.startswith(b"\xff\xfe") == (encoding == "utf-16")
    if encoding == "cp1252":
        with pytest.raises(UnicodeDecodeError):
            content.decode("utf-8")


def test_a_file_with_dates_the_local_way_shows_a_day_after_the_twelfth():
    """Otherwise its dates could be read both ways, and the file would have to be refused."""
    for path in demo_files():
        if "annex" in path.name or "school-gym" in path.name:
            days = [row["session_date"] for _, row in rows_of(path)]
            assert all("-" in day for day in days) or any(int(day[:2]) > 12 for day in days), path.name


# --- the files read back by hand ---------------------------------------------------------------------------------


def rows_of(path: Path) -> list[tuple[int, dict[str, str]]]:
    """The line number and the cells of every line of data in a log, read without the project's own reader."""
    if path.suffix == ".xlsx":
        sheet = fastexcel.read_excel(path).load_sheet(0, dtypes="string").to_polars()
        return [(n, {k: v or "" for k, v in row.items()}) for n, row in enumerate(sheet.to_dicts(), 2)]
    encoding = "cp1252" if "annex" in path.name else "utf-16" if "school-gym" in path.name else "utf-8-sig"
    separator = ";" if "annex" in path.name else "\t" if "school-gym" in path.name else ","
    reader = csv.reader(io.StringIO(path.read_bytes().decode(encoding), newline=""), delimiter=separator)
    lines = [(reader.line_num, cells) for cells in reader]
    heads = 2 if "annex" in path.name else 1
    header = [name.lower().replace(" ", "_").replace("-", "_") for name in lines[heads - 1][1]]
    # line_num is that of a line's end: a note on two lines stands only at the end of a file.
    return [(n, dict(zip(header, cells, strict=True))) for n, cells in lines[heads:] if any(cells)]


def as_record(record: type[LogLine], cells: dict[str, str], decimal_sign: str) -> LogLine:
    numbers = {"tempo_bpm", "minutes", "effort"}
    plain = {k: v.replace(decimal_sign, ".") if k in numbers else v for k, v in cells.items() if k}
    plain["session_date"] = plain_day(plain["session_date"])
    return record.model_validate(plain)


def plain_day(text: str) -> str:
    for sign in "./":
        if sign in text:
            return datetime.strptime(text, f"%d{sign}%m{sign}%Y").date().isoformat()  # noqa: DTZ007
    return text[:10]


def log_paths() -> list[Path]:
    return [path for path in demo_files()[CLUB_FILES:] if "web-page" not in path.name]


def identity(line: Line) -> tuple[object, ...]:
    return tuple(getattr(line, column) for column in line.identity)


def planted() -> dict[tuple[str, int], dict[str, str]]:
    with (FOLDER / "planted_mistakes.csv").open(encoding="utf-8", newline="") as file:
        return {(row["file"], int(row["line"])): row for row in csv.DictReader(file)}


@pytest.fixture(scope="module")
def read_back() -> tuple[dict[tuple[object, ...], tuple[Line, set[str]]], set[tuple[str, int]]]:
    """Every sound line by identity with the columns its file has, and the places of all others."""
    sound, unsound = {}, set()
    for path in log_paths():
        record = RECORDS["balls" if "ball-by-ball" in path.name else "sessions"]
        seen = set()
        for number, cells in rows_of(path):
            try:
                line = as_record(record, cells, "," if "annex" in path.name else ".")
            except ValidationError:
                unsound.add((path.name, number))
                continue
            known = line.player in PLAYER_CODES and line.setup in SETUP_CODES
            if not known or line.session_date > date(2026, 11, 22) or identity(line) in seen:
                unsound.add((path.name, number))
                continue
            seen.add(identity(line))
            sound[identity(line)] = (line, set(cells) - {"", "note"})
    return sound, unsound


def test_the_lines_to_be_refused_are_the_planted_ones_and_no_others(read_back):
    _, unsound = read_back

    assert unsound == set(planted())
    assert 25 <= len(unsound) <= 40


def test_most_mistakes_stand_in_the_last_three_weeks():
    recent = [file for file, _ in planted() if file[:8] in ("2026-w45", "2026-w46", "2026-w47")]

    assert len(recent) > 0.75 * len(planted())


def test_a_planted_mistake_shows_what_the_list_says():
    mistakes = planted()
    for name in sorted({file for file, _ in mistakes}):
        for number, cells in rows_of(FOLDER / "logs" / name):
            if mistake := mistakes.get((name, number)):
                assert mistake["seen"] == cells[mistake["column"]], (name, number)


def test_the_sound_lines_of_the_files_are_the_season_as_it_was_played(read_back):
    """The correction of week 41 comes last and stands."""
    sound, unsound = read_back
    season = {identity(line): line for line in (*clean_lines(), *probe_lines())}
    twice = sum(mistake["what"] == "the same line twice" for mistake in planted().values())

    assert len(season) - len(sound) == len(unsound) - twice
    for key, (line, columns) in sound.items():
        assert {c: getattr(line, c) for c in columns} == {c: getattr(season[key], c) for c in columns}


def test_the_correction_changes_counts_and_nothing_else():
    corrected = [cells for _, cells in rows_of(FOLDER / "logs" / "2026-w42-correction-of-w41-main-hall.csv")]
    first = [
        cells
        for _, cells in rows_of(FOLDER / "logs" / "2026-w41-main-hall.csv")
        if cells["session_date"] == "2026-10-07"
    ]
    counts = {"good", "net", "long", "wide", "missed", "note"}

    assert [{k: v for k, v in row.items() if k not in counts} for row in first] == [
        {k: v for k, v in row.items() if k not in counts} for row in corrected
    ]
    assert [int(row["balls"]) - int(row["good"]) for row in first] == [int(row["good"]) for row in corrected]


def test_the_robot_was_noted_at_several_settings_of_both_dials_and_every_ball_hit_the_players_half():
    balls = list(landings())
    with (FOLDER / "club" / "landings.csv").open(encoding="utf-8", newline="") as file:
        written = [(int(row["ball"]), float(row["landing_x_cm"])) for row in csv.DictReader(file)]

    assert written == [(ball.ball, ball.landing_x_cm) for ball in balls]
    assert len({ball.speed_setting for ball in balls if ball.spin_setting is None}) >= 3
    assert len({ball.spin_setting for ball in balls if ball.spin_setting is not None}) >= 3
    assert {setup.feeder for setup in SETUPS if setup.feeding == "robot"} == {feeder.feeder for feeder in FEEDERS}


def test_the_web_page_is_no_log():
    page = next(path for path in demo_files() if "web-page" in path.name)

    assert page.read_bytes().startswith(b"<!DOCTYPE html>")


def test_every_story_stands_in_the_readme():
    text = (FOLDER / "README.md").read_text("utf-8")

    assert all(story.in_words in text and story.player in text for story in stories.STORIES)
    assert "invented" in text
