"""The addresses of the page at the table, behind the real guard: who gets what, and what is refused how."""

import sqlite3
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import streamlit
from starlette.applications import Starlette
from starlette.testclient import TestClient

from dashboard.at_table import routes as at_table
from dashboard.at_table.offers import offers
from dashboard.door.guard import Guard
from dashboard.door.settings import read_door
from dashboard.questions import Desk, owners_desk
from dashboard.services import plans
from ingest import loading
from models.permits import Role
from sql.club import accounts
from sql.club.blocks import hits_of
from sql.club.file import club_file
from sql.folder import DataFolder
from tests.at_table.blocks import SHORT_BACKSPIN, PhoneBlock, Said, block_of, new_id
from tests.at_table.signed_in import cookie

COACH, OTHER_COACH, COORDINATOR, PLAYER, GUARDIAN = 1, 2, 3, 4, 5
EVERYBODY = ["ADA", "BEN", "CLEO", "EVA", "FIN", "GUS", "HAL", "IDA", "JAN", "KAI", "LEO"]
ORIGIN = {"origin": "http://testserver"}

Browser = Callable[[int | None], TestClient]


@pytest.fixture
def browser(club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> Browser:
    """A browser of an account, or one that is not signed in."""
    monkeypatch.setattr(loading, "is_current", lambda _: True)
    club.settings_file.write_text('[door]\nhosts = ["testserver"]\n')
    with club_file(club) as connection:
        accounts.add(connection, "Ada Lind", Role.PLAYER, players=["ADA"])
        accounts.add(connection, "Pat Lind", Role.GUARDIAN, players=["ADA"])
    page = Path(streamlit.__file__).parent / "static" / "index.html"
    app = Guard(Starlette(routes=at_table.routes(club)), read_door(club), page)

    def opened(account: int | None) -> TestClient:
        cookies = dict([cookie(club, account)]) if account else {}
        return TestClient(app, cookies=cookies, headers=ORIGIN, follow_redirects=False)

    return opened


def message(account: int, *events: Said) -> dict[str, Any]:
    return {"account": account, "events": list(events)}


def test_the_page_and_its_files_come_under_the_strict_policy(browser: Browser) -> None:
    client = browser(COACH)
    parts = [f"/table/{file.name}" for file in at_table.FILES.iterdir() if file.suffix in (".css", ".js")]

    answers = [client.get(path) for path in ("/table", *parts)]

    assert len(parts) > 5
    assert {answer.status_code for answer in answers} == {200}
    assert all("script-src 'self'; style-src 'self'" in answer.headers["content-security-policy"] for answer in answers)


def test_a_stranger_is_led_to_the_sign_in_and_back_and_cannot_send(browser: Browser) -> None:
    stranger = browser(None)

    page, sent = stranger.get("/table"), stranger.post("/table/taps", json=message(COACH))

    assert (page.status_code, page.headers["location"]) == (303, "/account/sign-in?next=%2Ftable")
    assert sent.status_code == 401


@pytest.mark.parametrize(
    ("account", "players"),
    [
        (COACH, ["ADA", "BEN"]),
        (OTHER_COACH, EVERYBODY),
        (COORDINATOR, EVERYBODY),
        (PLAYER, ["ADA"]),
        (GUARDIAN, []),
    ],
)
def test_everyone_may_log_for_whom_they_may_see_and_a_guardian_for_nobody(
    browser: Browser, account: int, players: list[str]
) -> None:
    """Coach 1 trains the juniors, Ada and Ben; Dan, who does not train at present, is offered to nobody."""
    client = browser(account)

    offered = [player["code"] for player in client.get("/table/start").json()["players"]]
    begins = [PhoneBlock(code).begin() for code in (*EVERYBODY, "DAN", "NOBODY")]
    reply = client.post("/table/taps", json=message(account, *begins)).json()

    assert sorted(offered) == players
    assert sorted(block["player"] for block in reply["blocks"]) == players
    assert len(reply["held"]) == len(begins) - len(players)


def test_what_a_player_lacks_and_what_was_fed_lately_is_offered_to_whom_may_see_the_player(browser: Browser) -> None:
    """Ada met backspin from the back and the middle, and topspin from the back; her target wants six combinations."""
    mine, theirs = (browser(PLAYER).get("/table/offers", params={"player": code}) for code in ("ADA", "BEN"))

    offers = mine.json()["offers"]
    wanted = [offer["feeds"] for offer in offers if offer["text"].startswith("Wanted, and lacking")]
    lately = [(offer["text"], offer["feeds"]) for offer in offers if offer["text"].startswith("As on")]
    assert sorted((feed["setup"], feed["spin"]) for (feed,) in wanted) == [
        ("MR", "topspin"),
        ("NC", "backspin"),
        ("NC", "topspin"),
    ]
    assert lately == [
        ("As on 11 March 2025", [{"setup": "BC", "spin": "backspin", "length": "long"}]),
        ("As on 11 March 2025", [{"setup": "MR", "spin": "backspin", "length": "half_long"}]),
        ("As on 4 March 2025", [{"setup": "BC", "spin": "topspin", "length": "long"}]),
    ]
    assert (theirs.status_code, "offers" in theirs.json()) == (403, False)


def test_balls_come_with_a_drawing_each_offered_or_set_by_hand(browser: Browser) -> None:
    """A player may have drawn what is theirs to log, and nothing for somebody else's place and hand."""
    ada = browser(PLAYER)
    by_hand = [{"setup": "NC", "spin": "backspin", "length": "short"}, {"spin": "topspin"}]

    offers = ada.get("/table/offers", params={"player": "ADA"}).json()["offers"]
    asked = [{"account": PLAYER, "player": player, "feeds": by_hand} for player in ("ADA", "BEN")]
    mine, theirs = (ada.post("/table/drawn", json=one) for one in asked)

    assert all(len(offer["drawn"]) == len(offer["feeds"]) > 0 for offer in offers)
    drawings = [*mine.json()["drawn"], *(drawn for offer in offers for drawn in offer["drawn"])]
    assert len(set(mine.json()["drawn"])) == 2
    assert all(drawn.startswith("<svg") and "aria-hidden" in drawn for drawn in drawings)
    assert theirs.status_code == 403


def test_the_page_has_the_colours_and_letters_of_all_screens(browser: Browser) -> None:
    sheet = browser(COACH).get("/table/look.css").text

    assert "--hl-met:light-dark(" in sheet
    assert '@font-face{font-family:"Sofia Sans"' in sheet
    assert "--undo-sign:url(data:image/svg+xml" in sheet


def keep_plan(club: DataFolder, meant_for: date) -> None:
    """By the coach of everybody, for Ada: topspin from the middle, and both spins from near the net."""
    with club_file(club) as connection:
        coach = accounts.by_number(connection, OTHER_COACH)
    assert coach is not None
    desk = Desk(club, coach.reader)
    plans.keep(desk, "ADA", plans.proposed(desk, "ADA", 60, date(2025, 3, 14)).plan, meant_for, meant_for)


def test_the_planned_block_that_a_code_on_paper_names_comes_first(browser: Browser, club: DataFolder) -> None:
    """Whatever else is asked for, the blocks come in the order of the plan."""
    tomorrow = date.today() + timedelta(days=1)  # noqa: DTZ011 - by the clock of the club, as the route
    keep_plan(club, tomorrow)

    def planned(block: str) -> list[str]:
        answer = browser(PLAYER).get("/table/offers", params={"player": "ADA", "block": block})
        return [offer["planned"] for offer in answer.json()["offers"] if "planned" in offer]

    assert planned(f"{tomorrow}/3") == [f"{tomorrow}/{number}" for number in (3, 1, 2)]
    for strange in ("", f"{tomorrow}/9", "2019-01-01/1", "x" * 500):
        assert planned(strange) == [f"{tomorrow}/{number}" for number in (1, 2, 3)]


def test_a_planned_block_is_offered_first_until_its_balls_were_fed_at_the_table(
    browser: Browser, club: DataFolder
) -> None:
    """What the coach adds, and another tempo, leave it the same block; one that is dropped is to be done still."""
    keep_plan(club, date.today() + timedelta(days=1))  # noqa: DTZ011 - by the clock of the club, as the route
    coach, player = browser(COACH), browser(PLAYER)

    def planned() -> list[tuple[str, str]]:
        offers = player.get("/table/offers", params={"player": "ADA"}).json()["offers"]
        first = [offer for offer in offers if offer["text"].startswith("Planned")]
        assert offers[: len(first)] == first
        assert len(offers) > len(first)
        assert all((offer["text"][-10:], offer["balls"]) == (", 30 balls", 30) for offer in first)
        return [(offer["feeds"][0]["setup"], offer["feeds"][0]["spin"]) for offer in first]

    all_three = planned()
    begun, dropped = PhoneBlock(), PhoneBlock()
    events = [
        begun.begin({"setup": "NC", "spin": "topspin", "length": "short", "tempo_bpm": 40}),
        *begun.balls(*["good"] * 30),
        dropped.begin({"setup": "NC", "spin": "backspin", "length": "short"}),
        dropped.done(is_dropped=True),
    ]
    assert len(coach.post("/table/taps", json=message(COACH, *events)).json()["saved"]) == 33

    assert sorted(all_three) == [("MR", "topspin"), ("NC", "backspin"), ("NC", "topspin")]
    assert planned() == [block for block in all_three if block != ("NC", "topspin")]


def test_a_plan_of_another_day_says_so_and_one_that_is_over_is_not_offered(club: DataFolder) -> None:
    keep_plan(club, date(2025, 3, 14))
    desk = owners_desk(club)

    def told(today: date) -> str:
        return str(offers(desk, "ADA", today)[0]["text"])

    assert told(date(2025, 3, 14)) == "Planned, 30 balls"
    assert told(date(2025, 3, 12)) == "Planned for 14 March, 30 balls"
    assert told(date(2025, 3, 15)) == "Wanted, and lacking"


def test_what_is_lacking_months_after_the_last_line_is_offered_with_the_end_of_the_log(club: DataFolder) -> None:
    """All of the target is lacking then, and not only what was lacking on the last day."""
    lacking = [one for one in offers(owners_desk(club), "ADA", date(2025, 6, 2)) if one["order"] == "blocked"]

    assert lacking[0]["text"] == "Wanted, and lacking (the log ends on 11 March)"


def test_what_was_stored_is_acknowledged_by_its_id_and_told_with_the_block(browser: Browser, club: DataFolder) -> None:
    phone = PhoneBlock()
    events = [phone.begin(), *phone.balls("good", "net"), phone.ball("god")]

    reply = browser(COACH).post("/table/taps", json=message(COACH, *events)).json()

    assert reply["saved"] == [event["id"] for event in events[:3]]
    assert [one["id"] for one in reply["held"]] == [events[3]["id"]]
    (block,) = reply["blocks"]
    assert (block["player"], block["balls"], block["good"], block["state"]) == ("ADA", 2, 1, "counting")
    with club_file(club) as connection:
        assert [hit.outcome for hit in hits_of(connection, phone.block)] == ["good", "net"]


def test_taps_that_another_account_counted_are_not_taken(browser: Browser, club: DataFolder) -> None:
    """Somebody else has signed in on the same phone: what waits there is not theirs."""
    phone = PhoneBlock()

    answer = browser(OTHER_COACH).post("/table/taps", json=message(COACH, phone.begin()))

    assert answer.status_code == 409
    with club_file(club) as connection:
        assert block_of(connection, phone.block) is None


@pytest.mark.parametrize(
    ("sent", "status", "told"),
    [
        ({"content": b"{"}, 400, "JSON"),
        ({"json": {"account": COACH}}, 422, "events: nothing there, expected a value"),
        ({"json": {"account": COACH, "events": [1]}}, 422, "events 0: saw '1'"),
        ({"json": {"account": COACH, "events": [], "more": 1}}, 422, "more"),
        ({"json": {"account": "1", "events": []}}, 422, "account: saw '1'"),
        ({"json": {"account": COACH, "events": [{}] * 201}}, 422, "200"),
        ({"content": b" " * (at_table.MOST_BYTES + 1)}, 413, "nothing of it was stored"),
        ({"data": {"account": "1"}}, 415, "application/json"),
    ],
)
def test_a_message_of_another_form_is_refused_in_a_sentence(
    browser: Browser, sent: dict[str, Any], status: int, told: str
) -> None:
    headers = {} if "data" in sent else {"content-type": "application/json"}

    answer = browser(COACH).post("/table/taps", headers=headers, **sent)

    assert answer.status_code == status
    assert told in answer.json()["sentence"]


@pytest.mark.parametrize(
    "headers",
    [{"origin": "http://elsewhere.example"}, {"sec-fetch-site": "cross-site"}, {"origin": "null"}],
)
def test_a_page_of_another_site_cannot_send_in_somebodys_name(
    browser: Browser, club: DataFolder, headers: dict[str, str]
) -> None:
    phone = PhoneBlock()

    answer = browser(COACH).post("/table/taps", json=message(COACH, phone.begin()), headers=headers)

    assert answer.status_code == 403
    with club_file(club) as connection:
        assert block_of(connection, phone.block) is None


def test_on_a_full_disk_nothing_is_acknowledged_and_the_sentence_says_so(
    browser: Browser, club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite's own error where a write finds no room."""

    def no_room(*_: Any) -> None:
        error = sqlite3.OperationalError("database or disk is full")
        error.sqlite_errorname = "SQLITE_FULL"
        raise error

    client, phone = browser(COACH), PhoneBlock()
    monkeypatch.setattr(at_table, "store", no_room)

    answer = client.post("/table/taps", json=message(COACH, phone.begin()))

    assert answer.status_code == 503
    assert "the disk is full" in answer.json()["sentence"]


def test_a_coordinator_finishes_what_a_lost_phone_began_and_nobody_elses_coach_does(
    browser: Browser, club: DataFolder
) -> None:
    phone = PhoneBlock()
    browser(COACH).post("/table/taps", json=message(COACH, phone.begin(), phone.ball()))

    def finish(account: int, block: str) -> int:
        return browser(account).post("/table/finish", json={"account": account, "block": block}).status_code

    assert finish(OTHER_COACH, phone.block) == 404
    assert finish(COORDINATOR, new_id()) == 404
    assert finish(COORDINATOR, phone.block) == 200
    with club_file(club) as connection:
        block = block_of(connection, phone.block)
    assert block
    assert block.state in ("done", "in_log")


def test_only_a_refused_block_can_be_put_in_line_again(browser: Browser, club: DataFolder) -> None:
    phone = PhoneBlock()
    client = browser(COACH)
    client.post("/table/taps", json=message(COACH, phone.begin(), phone.ball()))

    def again() -> int:
        return client.post("/table/again", json={"account": COACH, "block": phone.block}).status_code

    assert again() == 404
    with club_file(club) as connection:
        connection.execute("update table_blocks set state = 'refused'")
    assert again() == 200


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "-1e400"])
def test_a_number_that_is_none_is_refused_in_a_sentence_about_the_number(browser: Browser, number: str) -> None:
    told = f'{{"account": {COACH}, "events": [{{"kind": "done", "minutes": {number}}}]}}'

    answer = browser(COACH).post("/table/taps", content=told, headers={"content-type": "application/json"})

    assert answer.status_code == 400
    assert number in answer.json()["sentence"]
    assert "club.sqlite" not in answer.text


def test_a_number_too_large_for_any_column_is_held_with_a_sentence(browser: Browser) -> None:
    phone = PhoneBlock()
    begin = phone.begin({**SHORT_BACKSPIN, "tempo_bpm": 10**400})

    answer = browser(COACH).post("/table/taps", json={"account": COACH, "events": [begin]})

    assert answer.status_code == 200
    assert "tempo_bpm" in answer.json()["held"][0]["why"]


def test_whoever_asks_without_end_is_told_to_wait_and_others_are_answered(browser: Browser) -> None:
    asking, other = browser(COACH), browser(COORDINATOR)
    statuses = [asking.post("/table/taps", json={"account": COACH, "events": []}).status_code for _ in range(80)]

    assert statuses.count(429) > 0
    assert statuses[:20] == [200] * 20
    assert other.post("/table/taps", json={"account": COORDINATOR, "events": []}).status_code == 200


def test_the_phone_is_told_the_clubs_day_at_the_start_and_with_every_answer(
    browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(at_table, "today", lambda: date(2031, 5, 6))
    phone = browser(COACH)

    assert phone.get("/table/start").json()["today"] == "2031-05-06"
    assert phone.post("/table/taps", json=message(COACH)).json()["today"] == "2031-05-06"
