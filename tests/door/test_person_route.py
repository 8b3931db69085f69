"""Everything stored of a player, asked for as every kind of person for every player: given only to whom it belongs."""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from urllib.parse import quote
from zipfile import ZipFile

import pytest
from starlette.testclient import TestClient

from dashboard.door.person import archive_path, person_routes
from dashboard.services.personal_data import forget_player, take_away
from dashboard.services.player_archive import player_archive
from models.permits import NotConfirmed, NotPermitted, owner
from sql.club import audit_trail
from sql.club.audit_trail import Event
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.door.conftest import browsers_before
from tests.door.test_questions_asked_by_everybody import NAMES, named_in, reader_of
from tests.people import PEOPLE

Ask = Callable[[str | None, str], "object"]

TAKEABLE = {"Nora Quill": set(NAMES), "M. Roe": set(), "Ada Lind": {"ADA"}, "Otto Orr": {"BEN"}}
"""Written by hand, and not asked of the permits: a coach reads pages, and takes nobody's data away."""


@pytest.fixture
def browser(club: DataFolder, tmp_path: Path) -> Callable[[str | None], TestClient]:
    """A browser of somebody, or of a stranger, before the real guard."""
    return browsers_before(person_routes(club), club, tmp_path)


def noted(folder: DataFolder, event: Event) -> list[tuple[str | None, str | None, str | None]]:
    with club_file(folder) as connection:
        found = audit_trail.entries(connection, owner("test"), 1000, event)
    return [(entry.name, entry.player, entry.address) for entry in found]


@pytest.mark.parametrize("name", [name for name, *_ in PEOPLE])
def test_each_gets_the_data_of_those_that_are_theirs_and_of_nobody_else(
    club: DataFolder, browser: Callable[[str | None], TestClient], name: str
) -> None:
    before = {event: noted(club, event) for event in (Event.EXPORT, Event.REFUSAL)}
    answers = {player: browser(name).get(archive_path(player)) for player in NAMES}

    given = {player: answer for player, answer in answers.items() if answer.status_code == 200}
    assert set(given) == TAKEABLE[name]
    for player, answer in given.items():
        archive = ZipFile(BytesIO(answer.content))
        assert named_in([archive.read(one).decode() for one in archive.namelist()]) <= {player}
        assert answer.headers["cache-control"] == "private, no-store"
        assert answer.headers["content-disposition"] == f"attachment; filename*=UTF-8''{player}.zip"
    refused = set(NAMES) - set(given)
    assert {answers[player].status_code for player in refused} <= {403}
    assert not any(named_in(answers[player].text) for player in refused)
    for event, players in ((Event.EXPORT, set(given)), (Event.REFUSAL, refused)):
        new = noted(club, event)[: len(players)]
        assert {entry[:2] for entry in new} == {(name, player) for player in players}
        assert len(noted(club, event)) == len(before[event]) + len(players)


def test_a_stranger_is_led_to_the_sign_in(browser: Callable[[str | None], TestClient]) -> None:
    answer = browser(None).get(archive_path("ADA"))

    assert (answer.status_code, answer.headers["location"]) == (303, "/account/sign-in?next=%2Fperson%2FADA.zip")


def test_an_open_browser_alone_takes_nothing_away(
    club: DataFolder, browser: Callable[[str | None], TestClient]
) -> None:
    ada = browser("Ada Lind")
    with club_file(club) as connection:
        connection.execute("update web_sessions set confirmed_at = null")
    answer = ada.get(archive_path("ADA"))

    assert (answer.status_code, answer.headers["location"]) == (303, "/account/confirm?next=%2Fprivacy")
    assert ada.get(archive_path("BEN")).status_code == 403, "what is not theirs is refused as before"


@pytest.mark.parametrize("name", ["Nora Quill", "Ada Lind"])
def test_what_cannot_be_taken_back_asks_again_who_it_is(club: DataFolder, name: str) -> None:
    unconfirmed = replace(reader_of(club, name), is_confirmed=False)

    with pytest.raises(NotConfirmed):
        take_away(club, "ADA", unconfirmed)
    if unconfirmed.keeps_accounts:
        with pytest.raises(NotConfirmed):
            forget_player(club, "ADA", unconfirmed, keeps_lines=True)


@pytest.mark.parametrize("code", ["NOBODY", "ada", "*", "A/B", "../club", "ADA' or 1=1 --", "x" * 300])
def test_a_code_that_nobody_has_is_refused_like_somebody_elses(
    club: DataFolder, browser: Callable[[str | None], TestClient], code: str
) -> None:
    """Only a coordinator learns that it is nobody's."""
    path = f"/person/{quote(code, safe='')}.zip"

    assert browser("Nora Quill").get(path).status_code == 404
    assert browser("Ada Lind").get(path).status_code == 403
    assert browser("M. Roe").get(path).text == browser("M. Roe").get(archive_path("ADA")).text


def test_where_nothing_can_be_read_the_reason_is_told(
    club: DataFolder, browser: Callable[[str | None], TestClient]
) -> None:
    club.restoring_file.write_text("backup.zip", encoding="utf-8")

    answer = browser("Ada Lind").get(archive_path("ADA"))

    assert answer.status_code == 503
    assert "halflong restore" in answer.text


@pytest.mark.parametrize("name", ["M. Roe", "Ada Lind", "Otto Orr"])
def test_nobody_but_a_coordinator_can_have_a_player_forgotten(club: DataFolder, name: str) -> None:
    with pytest.raises(NotPermitted, match="Only a coordinator"):
        forget_player(club, "ADA", reader_of(club, name), keeps_lines=True)

    assert player_archive(club, "ADA")
