"""Every page, for every reader, of a club in which whatever may be empty is empty somewhere and every verdict falls."""

import re
import shutil
from datetime import date

import duckdb
import pytest

from dashboard import questions
from dashboard.at_table.offers import offers
from dashboard.paper.player_page import player_page
from dashboard.paper.typesetting import typeset
from dashboard.questions import Desk, owners_desk
from models.permits import EVERY_GROUP, Role
from sql.catalogue import Contract, models_in_order
from sql.digests import forget_digest
from sql.folder import DataFolder
from sql.judging import judgements_in_order
from sql.making_tables import run_checks
from sql.published_file import read_only
from tests.conftest import MadeOnce
from tests.dashboard.empty_values import Hollowed, hollow, hollowed_tables
from tests.dashboard.shown import opened, words
from tests.proofs import in_proof
from tests.signing_in import user_of
from tests.tabs import PAGES

OF_A_PLAYER = ("one_player", "next_session", "my_training")
NOT_TOLD = re.compile(r"\b(None|nan|NaN|NaT|null)\b")


@pytest.fixture(scope="module")
def club(demo_club: DataFolder, made_once: MadeOnce) -> DataFolder:
    """The demo club with changed rows."""
    return made_once("empty-values", lambda folder: _changed_copy(demo_club, folder))


def _changed_copy(club: DataFolder, folder: DataFolder) -> None:
    shutil.copytree(club.path, folder.path)
    published = folder.publication_in_force()
    assert published is not None
    forget_digest(published)
    with duckdb.connect(str(published)) as connection:
        hollow(connection)


@pytest.fixture(scope="module")
def players(club: DataFolder) -> list[str]:
    return [player.player_id for player in questions.players(owners_desk(club))]


def person(club: DataFolder, role: Role, players: list[str]) -> dict[str, str]:
    """Somebody of this role who may see as many players as it may."""
    own = {Role.PLAYER: players[:1], Role.GUARDIAN: players[:20]}.get(role, [])
    groups = [EVERY_GROUP] if role is Role.COACH else []
    return user_of(club, f"The {role.value}", role, players=own, groups=groups)


@pytest.mark.parametrize("table", hollowed_tables(), ids=lambda table: table.contract.table)
def test_whatever_may_be_empty_is_and_every_verdict_falls(club: DataFolder, table: Hollowed) -> None:
    """And each table still keeps what its header promises, so that the pages are shown nothing that could not be."""
    published = club.publication_in_force()
    assert published is not None
    with read_only(published) as connection:
        rows = connection.sql(f"select * from {table.contract.table}").pl()
        run_checks(connection, table.contract)
    assert [column for column in table.reasons if not rows[column].null_count()] == []
    for column, expected in table.verdicts.items():
        assert {*rows[column]} >= {*expected}, column


@pytest.mark.parametrize("at_most", [3, in_proof(20)])
@pytest.mark.parametrize(
    ("role", "view"), [(role, view) for role in Role if role is not Role.OWNER for view in PAGES[role]]
)
def test_every_page_of_every_role_opens(
    club: DataFolder, players: list[str], role: Role, view: str, at_most: int
) -> None:
    user = person(club, role, players)
    # A coach and a player see of one player what the coordinator and the guardian see of all.
    looked_at = players if role in (Role.COACH, Role.GUARDIAN) else players[:1]
    for player in looked_at[:at_most] if view in OF_A_PLAYER else [None]:
        page = opened(club, f"views/{view}.py", player, user=user)

        assert not page.exception, (player, page.exception[0].message)
        assert not NOT_TOLD.findall(words(page)), player


def test_every_player_is_offered_balls_at_the_table_and_has_a_page_on_paper(
    club: DataFolder, players: list[str]
) -> None:
    desk: Desk = owners_desk(club)
    for player in players:
        assert offers(desk, player, date(2026, 11, 25))
    for player in players[:6]:
        assert typeset(player_page(desk, player)).startswith(b"%PDF")


@pytest.mark.parametrize("contract", [*models_in_order(), *judgements_in_order()], ids=lambda contract: contract.table)
def test_what_is_empty_in_the_demo_club_is_said_to_be_in_the_header(demo_club: DataFolder, contract: Contract) -> None:
    published = demo_club.publication_in_force()
    assert published is not None
    with read_only(published) as connection:
        rows = connection.sql(f"select * from {contract.table}").pl()

    undeclared = [
        name for name, meaning in contract.columns.items() if "(empty" not in meaning and "; empty" not in meaning
    ]
    assert [name for name in undeclared if rows[name].null_count()] == []
