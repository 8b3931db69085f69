"""The page "What is stored", as each kind of person opens it."""

import re
import shutil
from collections.abc import Callable, Iterator
from datetime import date
from functools import cache, partial

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.door.person import archive_path
from dashboard.serving import FOLDER_VARIABLE
from ingest.loading import Incoming, load
from models.permits import Role, owner
from sql.backup import back_up
from sql.club import audit_trail
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from sql.warehouse import ask, held, warehouse
from tests.dashboard.shown import APP, words
from tests.signing_in import user_of

PEOPLE = {
    "Nora Quill": (Role.COORDINATOR, (), ()),
    "M. Roe": (Role.COACH, (), ("Juniors",)),
    "Ada Lind": (Role.PLAYER, ("ADA",), ()),
    "Otto Orr": (Role.GUARDIAN, ("BEN", "DAN"), ()),
}

OpenAs = Callable[[str], AppTest]


def opened(folder: DataFolder, name: str) -> AppTest:
    """The page as one of the people opens it."""
    role, players, groups = PEOPLE[name]
    app = AppTest.from_file(APP, default_timeout=120)
    app.user = user_of(folder, name, role, players=players, groups=groups)
    return app.switch_page("views/privacy.py").run()


@pytest.fixture(scope="module")
def seen_by(built_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenAs]:
    """The page of the small club as each of the people sees it. Not for clicking."""
    folder = DataFolder(tmp_path_factory.mktemp("privacy") / "club")
    shutil.copytree(built_club.path, folder.path)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER_VARIABLE, str(folder.path))
        yield cache(partial(opened, folder))


def offered(app: AppTest) -> list[str]:
    """The addresses of the copies that the page offers."""
    return [href for html in app.html for href in re.findall(r'href="(/person/[^"]*)"', html.value)]


def titles(app: AppTest) -> list[str]:
    return [one.value for one in (*app.header, *app.subheader)]


@pytest.mark.parametrize("name", PEOPLE)
def test_everybody_is_told_what_why_for_how_long_who_and_where(seen_by: OpenAs, name: str) -> None:
    app = seen_by(name)

    assert not app.exception
    assert [one.value for one in app.title] == ["What is stored"]
    for title in ("What", "Why", "For how long", "Who sees it", "Where", "A copy, and being forgotten"):
        assert title in titles(app)
    for told in ("No date of birth, no address", "no limit", "24 months", "safeguarding officer", "local law"):
        assert told in words(app)


@pytest.mark.parametrize(
    ("name", "players"), [("Nora Quill", []), ("M. Roe", []), ("Ada Lind", ["ADA"]), ("Otto Orr", ["BEN", "DAN"])]
)
def test_a_copy_is_offered_to_a_player_and_of_each_ward_to_a_guardian(
    seen_by: OpenAs, name: str, players: list[str]
) -> None:
    """Dan no longer plays; what is stored of him is still his."""
    assert offered(seen_by(name)) == [archive_path(player) for player in players]


@pytest.mark.parametrize("name", ["M. Roe", "Ada Lind", "Otto Orr"])
def test_nobody_but_a_coordinator_sees_who_else_is_stored(seen_by: OpenAs, name: str) -> None:
    app = seen_by(name)

    assert len(app.tabs) == 0
    assert len(app.dataframe) == 0
    assert len(app.selectbox) == 0
    assert len(app.button) == 0


def test_a_coordinator_sees_whose_consent_is_not_noted_and_who_is_due(small_club: DataFolder) -> None:
    consent = "player,name,handedness,group,consent_on\nADA,Ada Lind,right,Juniors,2025-03-01\n"
    load(small_club, [Incoming("consent.csv", consent.encode())], "test", today=date(2025, 3, 12))
    small_club.settings_file.write_text("retention_months = 1\n", encoding="utf-8")

    app = opened(small_club, "Nora Quill")

    without_consent, due = (frame.value for frame in app.dataframe)
    assert sorted(without_consent["player_id"]) == ["BEN", "CLEO", "DAN"]
    assert sorted(due["player_id"]) == ["ADA", "BEN"]
    assert "1 month" in words(app)


def test_a_coordinator_has_a_player_forgotten_once_the_code_is_typed(small_club: DataFolder) -> None:
    back_up(small_club, small_club.path.parent / "before.zip")
    app = opened(small_club, "Nora Quill")
    app.selectbox[0].select("BEN").run()
    assert offered(app) == [archive_path("BEN")]
    assert len(app.button) == 0, "first it is said what becomes of the lines"
    app.radio[0].set_value("Keep the lines without a person").run()
    assert "This cannot be taken back" in words(app)
    assert app.button[0].disabled
    app.text_input[0].set_value("ADA").run()
    assert app.button[0].disabled
    app.text_input[0].set_value("BEN").run()

    app.button[0].click().run()

    assert not app.exception
    assert "2 lines kept as gone" in app.success[0].value.replace("\\", "")
    assert "before.zip" in words(app).replace("\\", "")
    assert sorted(app.selectbox[0].options) == ["Ada Lind (ADA)", "Cléo Marsh (CLEO)", "Dan Voss (DAN)"]
    assert ask(small_club, "select count(*) from core.players where player_id = 'BEN'").item() == 0
    with club_file(small_club) as connection:
        (entry,) = audit_trail.entries(connection, owner("test"), 10, Event.ERASURE)
    assert (entry.name, entry.player, entry.about) == ("Nora Quill", None, "a player: lines kept as gone-1, 2")


def test_whoever_sits_down_at_an_open_browser_has_nobody_forgotten(small_club: DataFolder) -> None:
    app = opened(small_club, "Nora Quill")
    with club_file(small_club) as connection:
        connection.execute("update web_sessions set confirmed_at = null")
    app.selectbox[0].select("BEN").run()

    assert "Say again who you are" in app.warning[0].value
    assert len(app.radio) == 0


def test_the_page_shows_where_the_surname_stands_alone_and_asks_whom_it_means(small_club: DataFolder) -> None:
    head = "session_date,player,block,setup,spin,length,balls,good,note\n"
    lines = "2025-03-06,ADA,8,NC,topspin,long,9,5,orr was here\n2025-03-06,ADA,9,NC,topspin,long,9,5,Orr senior\n"
    load(small_club, [Incoming("notes.csv", (head + lines).encode())], "test", today=date(2025, 3, 12))
    app = opened(small_club, "Nora Quill")
    app.selectbox[0].select("BEN").run()
    app.radio[0].set_value("Keep the lines without a person").run()
    assert "sessions: note: Orr senior" in words(app).replace("\\", "")
    app.multiselect[0].set_value([one for one in app.multiselect[0].value if one.text != "Orr senior"]).run()
    app.text_input[0].set_value("BEN").run()
    app.button[0].click().run()

    assert not app.exception
    with held(small_club), warehouse(small_club) as connection:
        notes = connection.execute("select note from log.sessions where block >= 8 order by block").fetchall()
    assert notes == [(None,), ("Orr senior",)]


def test_where_nothing_is_loaded_the_page_still_tells(empty_club: DataFolder) -> None:
    app = AppTest.from_file(APP, default_timeout=120)
    app.user = user_of(empty_club)

    app.switch_page("views/privacy.py").run()

    assert not app.exception
    assert "Why" in titles(app)
    assert "Nobody is stored yet." in words(app)
