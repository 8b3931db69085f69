"""What somebody began to write while it was theirs is not written once that is over: asked where it is written."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import date
from threading import Event as Signal
from unittest.mock import patch

import pytest

from dashboard.questions import Desk
from dashboard.services import logs
from ingest import loading
from ingest.loading import Incoming
from models.permits import NotPermitted, Reader, Role
from sql.club import accounts
from sql.club.audit_trail import Event
from sql.club.file import ClubConnection, club_file
from sql.folder import DataFolder
from sql.warehouse import held, warehouse

TODAY = date(2025, 3, 12)
LINE = b"session_date,session,player,block,setup,spin,length,balls,good\n2025-03-11,1,ADA,7,NC,backspin,short,20,3\n"
BLOCK = Incoming("written.csv", LINE)


@pytest.fixture
def roe(club: DataFolder) -> Reader:
    """The coach of the Juniors, as a page knew them when it was opened."""
    with club_file(club) as connection:
        return account_of(connection, "M. Roe").reader


def account_of(connection: ClubConnection, name: str) -> accounts.Account:
    account = accounts.by_name(connection, name)
    assert account is not None
    return account


def to_other_group(connection: ClubConnection) -> None:
    accounts.change_role(connection, account_of(connection, "M. Roe"), Role.COACH, groups=["Seniors"])


def to_player(connection: ClubConnection) -> None:
    accounts.change_role(connection, account_of(connection, "M. Roe"), Role.PLAYER, players=["ADA"])


def to_nobody(connection: ClubConnection) -> None:
    accounts.remove(connection, account_of(connection, "M. Roe"))


def batches(club: DataFolder) -> list[tuple[int, bool]]:
    with warehouse(club) as connection:
        return connection.execute("select batch, withdrawn_at is null from log.batches order by 1").fetchall()


def refusals(club: DataFolder) -> list[str]:
    with club_file(club) as connection:
        rows = connection.execute(
            "select about from trail where event = ? and name = 'M. Roe' order by entry", [Event.REFUSAL]
        )
        return [about for (about,) in rows.fetchall()]


@contextmanager
def waiting(club: DataFolder, do: Callable[[Callable[[str], None]], object]) -> Iterator[None]:
    """Somebody's work waits for the folder while something happens; then it goes on, and raises what it raises."""
    has_to_wait = Signal()
    with ThreadPoolExecutor() as hands:
        with held(club):
            doing = hands.submit(do, lambda _: has_to_wait.set())
            assert has_to_wait.wait(60)
            yield
        doing.result()


@pytest.mark.parametrize("happens", [to_other_group, to_player, to_nobody])
def test_a_block_that_waited_is_not_written_once_the_player_is_no_longer_the_coachs(
    club: DataFolder, roe: Reader, happens: Callable[[ClubConnection], None]
) -> None:
    before, refused = batches(club), refusals(club)
    desk = Desk(club, roe)
    with (
        pytest.raises(NotPermitted, match=r"any more\). Nothing was changed"),
        waiting(club, lambda say: logs.load_block(desk, BLOCK, "ADA", today=TODAY, say=say)),
        club_file(club) as connection,
    ):
        happens(connection)

    assert batches(club) == before
    assert refusals(club) == [*refused, "to write into the log"]


def test_the_group_is_the_one_that_the_log_gives_not_the_last_publication(club: DataFolder, roe: Reader) -> None:
    moved = Incoming("players.csv", b"player,name,handedness,group\nADA,Ada Lind,right,Seniors\n")
    with patch("ingest.loading.build"):
        loading.load(club, [moved], "test", today=TODAY)

    with pytest.raises(NotPermitted):
        logs.load_block(Desk(club, roe), BLOCK, "ADA", today=TODAY)


def test_a_batch_is_not_withdrawn_by_whom_it_no_longer_concerns(club: DataFolder, roe: Reader) -> None:
    (report,) = logs.load(club, [BLOCK], roe, today=TODAY)
    assert report.batch is not None
    batch = report.batch
    with (
        pytest.raises(NotPermitted),
        waiting(club, lambda say: logs.withdraw(club, batch, roe, say=say)),
        club_file(club) as connection,
    ):
        to_other_group(connection)

    assert (batch, True) in batches(club)


def test_a_coach_loads_no_list_of_players(club: DataFolder, roe: Reader) -> None:
    with pytest.raises(NotPermitted, match="players"):
        logs.load(club, [Incoming("players.csv", b"player,name,handedness\nNEW,New One,right\n")], roe, today=TODAY)


def of(kind: str, *lines: str) -> Incoming:
    head = {"targets": "target,applies_to,dimension,value,share", "setups": "setup,x_cm,y_cm"}[kind]
    return Incoming(f"{kind}.csv", "\n".join([head, *lines, ""]).encode(), kind=kind)


@pytest.mark.parametrize(
    ("file", "is_theirs"),
    [
        (of("targets", "juniors,Juniors,depth,back,1"), True),
        (of("targets", "ada,ADA,depth,back,1"), True),
        (of("targets", "first,*,depth,back,1"), False),
        (of("targets", "juniors,Juniors,depth,back,1", "seniors,Seniors,depth,back,1"), False),
        (of("targets", "cleo,CLEO,depth,back,1"), False),
        (of("setups", "NEW,10,0"), True),
        (of("setups", "BC,10,0"), True),
        (of("setups", "MR,10,0"), False),
        (Incoming("feeders.csv", b"feeder,speed_dial_lowest,speed_dial_highest\nR1,0,10\n"), False),
    ],
)
def test_a_coach_writes_setups_and_targets_of_their_own_players_only(
    club: DataFolder, roe: Reader, file: Incoming, is_theirs: bool
) -> None:
    """Roe trains the Juniors, Ada and Ben; from MR Cléo was fed too."""
    fed = b"session_date,player,block,setup,spin,length,balls,good\n2025-03-05,CLEO,1,MR,topspin,long,20,3\n"
    with patch("ingest.loading.build"):
        loading.load(club, [Incoming("cleo.csv", fed)], "test", today=TODAY)
        before = batches(club)
        if is_theirs:
            (report,) = logs.load(club, [file], roe, today=TODAY)
            assert report.lines_refused == 0
            return
        with pytest.raises(NotPermitted, match=r"Nothing was changed\."):
            logs.load(club, [file], roe, today=TODAY)
    assert batches(club) == before


def test_a_coach_takes_back_no_target_of_others(club: DataFolder, roe: Reader) -> None:
    with pytest.raises(NotPermitted, match="your own players and groups only"):
        logs.withdraw(club, 3, roe)


@pytest.mark.parametrize("who", ["Ada Lind", "Otto Orr"])
def test_players_and_guardians_write_no_list(club: DataFolder, who: str) -> None:
    with club_file(club) as connection:
        reader = account_of(connection, who).reader
    for file in (of("targets", "ada,ADA,depth,back,1"), of("setups", "NEW,10,0")):
        with pytest.raises(NotPermitted):
            logs.load(club, [file], reader, today=TODAY)
