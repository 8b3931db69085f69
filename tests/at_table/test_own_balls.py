"""Balls that players count of themselves: marked, accepted by who trains them, left out where a club wants it so."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest
from typer.testing import CliRunner

from dashboard import questions
from dashboard.at_table.handing_over import hand_over
from dashboard.at_table.shown_blocks import shown as told
from dashboard.at_table.shown_blocks import waiting_batches
from dashboard.command_line import app
from dashboard.paper.club_week import club_week
from dashboard.paper.player_page import player_page
from dashboard.questions import Desk, owners_desk
from dashboard.rows.club import OwnBallsRow
from dashboard.services.logs import accept
from dashboard.serving import FOLDER_VARIABLE
from dashboard.words.own_balls import own_share, own_shares, who_counted
from ingest.loading import withdraw
from models.permits import NotPermitted, Role, owner
from sql.accepting import CannotAccept
from sql.backup import back_up, restore
from sql.build import build
from sql.club import accounts, audit_trail
from sql.club.audit_trail import Event
from sql.club.blocks import blocks_shown_to
from sql.club.file import club_file
from sql.club.taps import Scorer, store
from sql.folder import DataFolder
from sql.forgetting import forget
from sql.verify import verify
from sql.warehouse import ask, held
from tests.at_table.blocks import PhoneBlock
from tests.at_table.conftest import TODAY, add_accounts
from tests.dashboard.shown import opened, words
from tests.few_tables import few_tables
from tests.signing_in import user_of

ADA, OTTO, COACH = 4, 5, 1
OWN = "select coalesce(sum(balls), 0) from core.fed_lines where is_own"
ALL = "select sum(balls) from core.fed_lines where player_id = 'ADA'"


READ_HERE = (
    "report.own_balls",
    "report.club_week",
    "report.group_days",
    "core.weeks",
    "core.last_logs",
    "core.players",
)


@pytest.fixture(autouse=True)
def _few_tables(request: pytest.FixtureRequest) -> Iterator[None]:
    """Only the tables that are looked at are published here, but where a page of figures is."""
    if "counted_by_ada" in request.fixturenames or "every_table" in request.fixturenames:
        yield
        return
    with few_tables(*READ_HERE):
        yield


@pytest.fixture
def every_table() -> None:
    """For a test that needs every table to be published."""


@pytest.fixture
def club(club: DataFolder) -> DataFolder:
    """The small club, with accounts of Ada (4) and of a guardian of Ben (5)."""
    add_who_counts_alone(club)
    return club


@pytest.fixture(scope="module")
def counted_by_ada(built_club: DataFolder, tmp_path_factory: pytest.TempPathFactory) -> DataFolder:
    """The same, with three balls that Ada counted; every table is published, and nobody changes it."""
    folder = DataFolder(Path(shutil.copytree(built_club.path, tmp_path_factory.mktemp("counted") / "club")))
    with club_file(folder) as connection:
        add_accounts(connection)
    add_who_counts_alone(folder)
    counted(folder, ADA)
    return folder


def add_who_counts_alone(club: DataFolder) -> None:
    with club_file(club) as connection:
        accounts.add(connection, "Ada Lind", Role.PLAYER, players=["ADA"])
        accounts.add(connection, "Otto Orr", Role.GUARDIAN, players=["BEN"])


def counted(club: DataFolder, account: int, player: str = "ADA", day: str = "2025-03-12") -> int:
    """Three balls of a player, counted on the phone of this account, are in the log; their batch."""
    phone = PhoneBlock(player, day)
    with club_file(club) as connection:
        store(
            connection,
            Scorer(account, lambda _: True, is_coordinator=False),
            [phone.begin(), *phone.balls("good", "net", "good"), phone.done()],
        )
    hand_over(club, TODAY)
    return questions.table_blocks(owners_desk(club))[0].batch


def desk_of(club: DataFolder, account: int) -> Desk:
    with club_file(club) as connection:
        found = accounts.by_number(connection, account)
    assert found is not None
    return Desk(club, found.reader)


def number(club: DataFolder, question: str) -> int:
    return int(ask(club, question).item())


@pytest.mark.parametrize(
    ("account", "player", "is_own"), [(ADA, "ADA", True), (OTTO, "BEN", True), (COACH, "ADA", False), (3, "ADA", False)]
)
def test_what_a_player_or_a_guardian_counts_is_marked_and_what_a_coach_counts_is_not(
    club: DataFolder, account: int, player: str, is_own: bool
) -> None:
    counted(club, account, player)
    (block,) = questions.table_blocks(owners_desk(club))

    assert (block.is_own, block.waits, block.player_id, block.balls, block.good) == (is_own, is_own, player, 3, 2)
    assert number(club, OWN) == (3 if is_own else 0)


def test_what_somebody_counted_whose_account_is_gone_is_marked(club: DataFolder) -> None:
    phone = PhoneBlock()
    with club_file(club) as connection:
        store(
            connection,
            Scorer(COACH, lambda _: True, is_coordinator=False),
            [phone.begin(), *phone.balls("good"), phone.done()],
        )
        coach = accounts.by_number(connection, COACH)
        assert coach is not None
        accounts.remove(connection, coach)
    hand_over(club, TODAY)

    assert number(club, OWN) == 1


def test_a_coach_of_the_player_accepts_and_nobody_else(club: DataFolder) -> None:
    """The coach of the juniors trains Ada; Cléo is a senior."""
    adas, cleos = counted(club, ADA), counted(club, ADA, "CLEO")
    for account in (ADA, OTTO):
        with pytest.raises(NotPermitted):
            accept(desk_of(club, account), [adas])
    with pytest.raises(NotPermitted):
        accept(desk_of(club, COACH), [adas, cleos])
    assert number(club, OWN) == 6, "all or none"

    accept(desk_of(club, COACH), [adas])

    assert number(club, OWN) == 3
    (block,) = (block for block in questions.table_blocks(owners_desk(club)) if block.batch == adas)
    assert (block.accepted_by, block.waits) == ("M. Roe", False)
    with club_file(club) as connection:
        (entry,) = audit_trail.entries(connection, owner("test"), 10, Event.ACCEPTANCE)
    assert (entry.name, entry.about) == ("M. Roe", f"batch {adas}")


def test_each_person_is_told_of_the_blocks_of_those_whom_they_may_read(club: DataFolder) -> None:
    for player in ("ADA", "BEN", "CLEO"):
        counted(club, ADA, player)
    week = questions.weeks(owners_desk(club))[0]
    for account, players in ((COACH, {"ADA", "BEN"}), (2, {"ADA", "BEN", "CLEO"}), (ADA, {"ADA"}), (OTTO, {"BEN"})):
        desk = desk_of(club, account)
        assert {block.player_id for block in questions.table_blocks(desk)} == players
        assert {block.player_id for block in questions.waiting_blocks(desk)} == players
        assert {row.player_id for row in questions.own_balls(desk, week)} == players


def test_what_needs_no_acceptance_says_so(club: DataFolder) -> None:
    own, coachs = counted(club, ADA), counted(club, COACH, "BEN")
    desk = desk_of(club, COACH)
    accept(desk, [own])
    desk = owners_desk(club)
    for batch, reason in ((own, "accepted already, by M. Roe"), (coachs, "counts already"), (999, "counts already")):
        with pytest.raises(CannotAccept, match=reason):
            accept(desk, [batch])
    other = counted(club, ADA, day="2025-03-11")
    withdraw(club, other, "test")
    with pytest.raises(CannotAccept, match="was withdrawn"):
        accept(owners_desk(club), [other])


def test_a_club_may_leave_such_balls_out_of_every_figure_until_they_are_accepted(club: DataFolder) -> None:
    before = number(club, ALL)
    batch = counted(club, ADA)
    assert number(club, ALL) == before + 3
    club.settings_file.write_text("counts_own_balls = false\n", encoding="utf-8")
    with held(club):
        build(club)

    assert number(club, ALL) == before
    assert [block.batch for block in questions.waiting_blocks(owners_desk(club))] == [batch]
    accept(desk_of(club, COACH), [batch])
    assert number(club, ALL) == before + 3


@pytest.mark.proof
def test_a_backup_a_check_and_an_erasure_keep_to_it(club: DataFolder, every_table: None) -> None:
    own, accepted = counted(club, ADA), counted(club, ADA, day="2025-03-11")
    accept(desk_of(club, COACH), [accepted])
    assert verify(club).findings == ()
    back_up(club, club.path.parent / "club.zip")
    again = DataFolder(club.path.parent / "again")
    restore(club.path.parent / "club.zip", again)
    blocks = {block.batch: block.waits for block in questions.table_blocks(owners_desk(again))}
    assert blocks == {own: True, accepted: False}

    forget(again, "ADA", keeps_lines=True)

    (waiting,) = questions.waiting_blocks(owners_desk(again))
    assert (waiting.player_id, waiting.counted_by) == ("gone-1", "gone-1")
    assert verify(again).findings == ()


def test_a_coachs_name_in_a_tap_is_a_claim_of_who_was_signed_in(club: DataFolder) -> None:
    counted(club, ADA)
    (block,) = questions.table_blocks(owners_desk(club))

    assert (block.counted_by, block.coach) == ("Ada Lind", "M. Roe")
    assert who_counted(block) == "Ada Lind counted, and noted M. Roe as the coach"


def test_the_share_of_ones_own_word_is_told_beside_the_figures() -> None:
    row = OwnBallsRow("ADA", 412, 60)

    assert own_share(None, None) is None
    assert own_share(OwnBallsRow("ADA", 5, 0), None) is None
    assert own_share(row, None) == (
        "60 of the 412 balls of this window you counted yourself; no coach has accepted them yet."
    )
    assert own_share(row, "Ada") == (
        "60 of the 412 balls of this window Ada counted alone; no coach has accepted them yet."
    )
    assert own_shares([row], {}) is None
    assert own_shares([row], {"ADA": "Ada Lind"}) == (
        "Balls of this window that players counted alone, not accepted yet: Ada Lind 60 of 412."
    )


def page_of(club: DataFolder, name: str, role: Role, view: str, **stands_for: list[str]) -> AppTest:
    return opened(club, f"views/{view}.py", user=user_of(club, name, role, **stands_for))


def test_the_coach_sees_what_waits_and_accepts_a_block_with_one_touch(
    club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(club.path))
    batches = [counted(club, ADA, day=day) for day in ("2025-03-11", "2025-03-12")]
    counted(club, ADA, "CLEO")
    page = page_of(club, "M. Roe", Role.COACH, "own_logs", groups=["Juniors"])
    assert "Ada Lind counted, and noted M. Roe as the coach" in words(page).replace("\\", "")
    assert "Cléo" not in words(page)
    assert [one.key for one in page.button if one.label == "Accept"] == [f"accept-{batch}" for batch in batches[::-1]]
    page.button(key=f"accept-{batches[0]}").click().run()

    assert not page.exception
    assert [one.key for one in page.button if one.label == "Accept"] == [f"accept-{batches[1]}"]
    assert number(club, f"{OWN} and player_id = 'ADA'") == 3
    page.button(key=f"accept-{batches[1]}").click().run()
    assert page.success[0].value == "Nothing waits to be accepted."


@pytest.mark.parametrize(
    ("name", "role", "view", "stands_for", "sentence"),
    [
        (
            "M. Roe",
            Role.COACH,
            "one_player",
            {"groups": ["Juniors"]},
            "Ada counted alone; no coach has accepted them yet.",
        ),
        (
            "M. Roe",
            Role.COACH,
            "board",
            {"groups": ["Juniors"]},
            "not accepted yet: Ada Lind 3 of",
        ),
        ("Ada Lind", Role.PLAYER, "my_training", {"players": ["ADA"]}, "of this window you counted yourself"),
        (
            "Kim Day",
            Role.COORDINATOR,
            "club_week",
            {},
            "3 balls of these days players counted of themselves (in 1 block); no coach has accepted them yet.",
        ),
    ],
)
def test_pages_of_figures_tell_how_many_balls_are_the_players_own_word(
    counted_by_ada: DataFolder, name: str, role: Role, view: str, stands_for: dict[str, list[str]], sentence: str
) -> None:
    user = user_of(counted_by_ada, name, role, **stands_for)
    page = opened(counted_by_ada, f"views/{view}.py", "ADA" if view == "one_player" else None, user=user)

    assert not page.exception
    assert sentence in words(page).replace("\\", "")


def test_compare_tells_it_of_whom_and_of_which_days_it_is(
    counted_by_ada: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(counted_by_ada.path))
    page = opened(counted_by_ada, "views/compare.py", "ADA", user=user_of(counted_by_ada, "Kim Day", Role.COORDINATOR))
    page.selectbox[2].select("BEN").run()

    assert not page.exception
    told = [line for line in words(page).replace("\\", "").splitlines() if "no coach has accepted" in line]
    assert told == [
        "Ada Lind: 3 balls of these days were counted by the player alone (in 1 block); no coach has accepted them yet."
    ]


def test_it_is_told_on_paper_too(counted_by_ada: DataFolder) -> None:
    desk = owners_desk(counted_by_ada)
    week = questions.weeks(desk)[0]

    assert "3 balls of these days players counted of themselves" in str(club_week(desk, week))
    assert "Ada counted alone; no coach has accepted them yet." in str(player_page(desk, "ADA"))
    assert "no coach has accepted" not in str(player_page(desk, "BEN"))


def test_the_phone_is_told_until_a_coach_has_accepted(club: DataFolder) -> None:
    batch, ada = counted(club, ADA), Scorer(ADA, lambda _: True, is_coordinator=False)

    def waits() -> list[bool]:
        with club_file(club) as connection:
            blocks = blocks_shown_to(connection, ada)
        return [told(block, ada, waiting_batches(desk_of(club, ADA)))["waits_for_coach"] for block in blocks]

    before = waits()
    accept(desk_of(club, COACH), [batch])

    assert (before, waits()) == ([True], [False])


def test_what_came_in_says_who_counted_and_whose_word_it_is(club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(club.path))
    batch = counted(club, ADA)
    page = page_of(club, "Kim Day", Role.COORDINATOR, "batches")
    page.button(key=f"look-{batch}").click().run()

    assert "Ada Lind counted, and noted M. Roe as the coach. The player's own word, accepted by nobody yet." in words(
        page
    ).replace("\\", "")


def test_the_command_accepts_several_at_once(club: DataFolder) -> None:
    batches = [counted(club, ADA, day=day) for day in ("2025-03-11", "2025-03-12")]
    answer = CliRunner().invoke(app, ["accept", *map(str, batches), "--data", str(club.path)])

    assert answer.exit_code == 0, answer.output
    assert number(club, OWN) == 0
