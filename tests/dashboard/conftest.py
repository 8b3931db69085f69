"""A small club, an empty one, and two ways to look at their pages: Streamlit's own test driver, and a real browser."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.commands.demo import prepare_demo
from dashboard.serving import FOLDER_VARIABLE
from ingest.loading import Incoming, load
from sql.folder import DataFolder
from tests.conftest import MadeOnce
from tests.door.served import screens
from tests.few_tables import few_tables
from tests.kept import DEMO_IS_MADE_OF
from tests.signing_in import user_of

APP = Path(__file__).parents[2] / "dashboard" / "app.py"

SMALL_CLUB = {
    "players.csv": """\
player,name,handedness,group,joined_on,active
ADA,Ada Lind,right,Juniors,2024-09-02,yes
BEN,Ben Orr,left,Juniors,2024-09-02,yes
CLEO,Cléo Marsh,right,Seniors,2024-09-02,yes
DAN,Dan Voss,right,Seniors,2024-09-02,no
""",
    "setups.csv": """\
setup,name,feeding,x_cm,y_cm
BC,back centre,robot,-20,0
MR,middle right,robot,60,50
NC,near centre,robot,105,0
""",
    "targets.csv": """\
target,applies_to,dimension,value,share
first,*,depth,back,1
first,*,depth,middle,1
first,*,depth,near,1
first,*,spin_family,backspin,1
first,*,spin_family,topspin,1
""",
    "2025-w10.csv": """\
session_date,player,coach,block,setup,spin,length,balls,good,minutes
2025-03-04,ADA,M. Roe,1,BC,backspin,long,40,28,5
2025-03-04,ADA,M. Roe,2,BC,topspin,long,40,20,5
2025-03-04,BEN,M. Roe,1,NC,backspin,short,30,24,4
""",
    "2025-w11.csv": """\
session_date,player,coach,block,setup,spin,length,balls,good,minutes
2025-03-11,ADA,M. Roe,1,MR,backspin,half_long,40,30,5
2025-03-11,ADA,M. Roe,2,BC,backspin,long,40,32,5
2025-03-11,BEN,M. Roe,1,BC,topsin,long,40,22,5
""",
}
"""Three active players and one who is not; two weeks of logs. In the second week Ben's only line is refused (topsin),
and Cléo has no log at all. The target asks for three depths by two spin families: six combinations."""


DEMO_DAY = date(2026, 11, 25)


def incoming(texts: dict[str, str]) -> list[Incoming]:
    """Texts as files that came in."""
    return [Incoming(name, text.encode()) for name, text in texts.items()]


@pytest.fixture(scope="session")
def built_club(made_once: MadeOnce) -> DataFolder:
    """The small club, loaded and published once; tests work on copies."""
    return made_once("small", lambda folder: load(folder, incoming(SMALL_CLUB), "test", today=date(2025, 3, 12)))


@pytest.fixture(scope="session")
def demo_club(made_once: MadeOnce) -> DataFolder:
    """The invented club that ships with the project, loaded and published once; tests only look at it."""
    quiet = {"say": lambda _: None, "progress": lambda *_: None}
    return made_once("demo", lambda folder: prepare_demo(folder, today=DEMO_DAY, **quiet), made_of=DEMO_IS_MADE_OF)


@pytest.fixture(autouse=True)
def clubs_day(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages of the demo club are looked at on the day on which it was loaded, whatever day it is here."""
    if any(name.startswith("demo") for name in request.fixturenames):
        for module in ("ingest.club_day", "dashboard.views.player_sections.variety", "dashboard.views.plan_kept"):
            monkeypatch.setattr(f"{module}.today", lambda: DEMO_DAY)


@pytest.fixture
def demo_on_screen(demo_club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """The demo club as the one that the pages show, for tests that click."""
    monkeypatch.setenv(FOLDER_VARIABLE, str(demo_club.path))
    return demo_club


@pytest.fixture
def small_club(built_club: DataFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """A copy of the small club, which the pages show."""
    folder = DataFolder(tmp_path / "small-club")
    shutil.copytree(built_club.path, folder.path)
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder.path))
    return folder


@pytest.fixture
def coordinators_tables() -> Iterator[None]:
    """What is loaded now is published in the tables that the coordinator's pages read, and in no others."""
    reports = ("report.club_week", "report.group_days", "report.group_coaches", "report.next_blocks")
    with few_tables("core.last_logs", "core.setups", *reports):
        yield


@pytest.fixture
def empty_club(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> DataFolder:
    """A club that has loaded nothing yet, which the pages show."""
    folder = DataFolder(tmp_path / "empty-club")
    folder.path.mkdir()
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder.path))
    return folder


@pytest.fixture
def open_page() -> Callable[[str], AppTest]:
    """Open a page, such as `views/club_week.py`, as a coordinator, through the app that a browser would meet."""

    def opened(view: str) -> AppTest:
        app = AppTest.from_file(APP, default_timeout=60)
        app.user = user_of(DataFolder(Path(os.environ[FOLDER_VARIABLE])))
        return app.switch_page(view).run()

    return opened


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Callable[[DataFolder], str]]:
    """Serve a club's screens as a process of its own; the address at which they answer."""
    with ExitStack() as servers:
        yield lambda folder: servers.enter_context(screens(folder, tmp_path / "screens.log"))


@pytest.fixture(scope="session")
def small_club_served(
    built_club: DataFolder, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[DataFolder, str]]:
    """A copy of the small club and the address of its screens, for tests that only look."""
    place = tmp_path_factory.mktemp("served")
    folder = DataFolder(Path(shutil.copytree(built_club.path, place / "club")))
    with screens(folder, place / "screens.log") as url:
        yield folder, url
