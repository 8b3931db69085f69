"""A lake with two clubs: the tiny one, and another in which nobody met a ball of theirs."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from ingest.loading import Incoming, load
from sql.catalogue import models_in_order
from sql.federation import building, on_duckdb
from sql.folder import DataFolder
from sql.judging import judgements_in_order
from sql.lake.exporting import export_log
from sql.making_tables import make_judgements
from tests.few_tables import few_models, few_tables
from tests.sql.old_backups import tiny_club

NEIGHBOUR = {
    "players.csv": "player,name,handedness,group,birth_year\nN1,Rika Oum,right,Seniors,1999\n",
    "setups.csv": "setup,name,feeding,x_cm,y_cm\nC,by the window,robot,0,0\n",
    "lines.csv": "session_date,session,player,coach,setup,spin,length,balls,good,note\n"
    "2026-06-30,late,N1,J. Holm,C,topspin,long,30,20,Rika was tired\n"
    "2026-07-01,early,N1,J. Holm,C,backspin,short,20,5,\n",
}


def filled_tiny(path: Path) -> DataFolder:
    folder = DataFolder(path)
    folder.path.mkdir()
    folder.settings_file.write_text('club_id = "tiny"\n', encoding="utf-8")
    with few_tables():
        tiny_club.fill(folder)
    return folder


def filled_neighbour(path: Path, club_id: str = "neighbour") -> DataFolder:
    folder = DataFolder(path)
    folder.path.mkdir()
    folder.settings_file.write_text(f'club_id = "{club_id}"\ncovered_balls = 12\n', encoding="utf-8")
    incoming = [Incoming(name, text.encode()) for name, text in NEIGHBOUR.items()]
    with few_tables():
        load(folder, incoming, "tester", today=date(2026, 7, 2))
    return folder


LOOKED_AT = (
    "core.settings",
    "core.words",
    "core.weeks",
    "core.value_weeks",
    "core.players",
    "report.variety",
    "report.standing",
)


@pytest.fixture(scope="session", autouse=True)
def few_published() -> Iterator[None]:
    """A federation of a few tables, without judgements: a whole build of each takes seconds. `whole` is all of them."""
    few = few_models(*LOOKED_AT)
    with pytest.MonkeyPatch.context() as patch:
        for module in (building, on_duckdb):
            patch.setattr(module, "models_in_order", lambda: few)
            patch.setattr(module, "judgements_in_order", lambda: ())
            patch.setattr(module, "make_judgements", lambda *_: ())
        yield


@pytest.fixture
def whole() -> Iterator[None]:
    """All tables, for the long form."""
    with pytest.MonkeyPatch.context() as patch:
        for module in (building, on_duckdb):
            patch.setattr(module, "models_in_order", models_in_order)
            patch.setattr(module, "judgements_in_order", judgements_in_order)
            patch.setattr(module, "make_judgements", make_judgements)
        yield


@pytest.fixture(scope="session")
def lake(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The lake of both clubs. Only to be read, or copied."""
    place = tmp_path_factory.mktemp("lake")
    export_log(filled_tiny(place / "tiny"), place / "lake")
    export_log(filled_neighbour(place / "neighbour"), place / "lake")
    return place / "lake"
