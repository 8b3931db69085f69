"""The guard before every page, file and websocket."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

from dashboard.door.guard import NOTED
from dashboard.door.rates import Rate
from dashboard.door.settings import Door, DoorSettings, read_door
from models.permits import Role, owner
from sql.club import accounts, audit_trail, web_sessions
from sql.club.audit_trail import Event
from sql.club.file import at, club_file
from sql.folder import DataFolder
from tests.door.conftest import HERE
from tests.signing_in import token_of

Knock = Callable[..., TestClient]

SOCKETS = HERE.replace("http", "ws")
STREAM = "/_stcore/stream"
FILE = "/media/" + "3e86aeb379a0924d50011e82e5c47b8a"
UPLOAD = "/_stcore/upload_file/8c6e1bd8-35ef-4b3c-9d0f-6a1d9b6b7f10/0f9a2d5e-7b1c-4c55-8a43-2f6f5f1c9e21"


def come_in(browser: TestClient, folder: DataFolder, name: str = "Ada Lind") -> TestClient:
    """Give the browser the session of somebody."""
    door = read_door(folder)
    browser.cookies.set(door.cookie_name, token_of(folder, name, Role.PLAYER))
    return browser


def refusals(folder: DataFolder) -> list[tuple[str | None, str]]:
    with club_file(folder) as connection:
        found = audit_trail.entries(connection, owner("test"), 100, Event.REFUSAL)
    return [(entry.name, entry.about) for entry in found]


@pytest.mark.parametrize("path", ["/", "/board?player=ADA", "/one_player", "/table", "/account"])
def test_a_stranger_is_led_to_the_sign_in_which_remembers_where_they_wanted(
    folder: DataFolder, knock: Knock, path: str
) -> None:
    answer = knock(folder).get(path)

    assert answer.status_code == 303
    wanted = {"/": "", "/board?player=ADA": "?next=%2Fboard%3Fplayer%3DADA"}.get(path, f"?next=%2F{path[1:]}")
    assert answer.headers["location"] == f"/account/sign-in{wanted}"


@pytest.mark.parametrize(
    "path", [FILE + ".csv", "/_stcore/host-config", "/static/js/index.js", "/component/x", "/api/x"]
)
def test_a_stranger_gets_no_file(folder: DataFolder, knock: Knock, path: str) -> None:
    assert knock(folder).get(path).status_code == 401


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_a_stranger_changes_nothing(folder: DataFolder, knock: Knock, method: str) -> None:
    assert knock(folder).request(method, "/table/taps", headers={"origin": HERE}).status_code == 401


@pytest.mark.parametrize("method", ["TRACE", "CONNECT", "PROPFIND"])
def test_nothing_is_asked_in_a_way_that_nothing_here_needs(folder: DataFolder, knock: Knock, method: str) -> None:
    answer = come_in(knock(folder), folder).request(
        method, "/my_training", headers={"origin": HERE, "x-told": "secret"}
    )

    assert answer.status_code == 405
    assert "secret" not in answer.text


def test_one_cookie_that_asks_without_end_waits_before_anybody_is_looked_up(
    folder: DataFolder, knock: Knock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dashboard.door.guard.ASKED_WITH", Rate(burst=5, per_s=1e-6))
    browser, looked_up = come_in(knock(folder), folder), 0

    def by_token(*_: object) -> None:
        nonlocal looked_up
        looked_up += 1

    monkeypatch.setattr("dashboard.door.guard.web_sessions.by_token", by_token)
    statuses = [browser.get("/club_week", follow_redirects=False).status_code for _ in range(9)]

    assert statuses == [303] * 5 + [429] * 4
    assert looked_up == 5
    assert knock(folder).get("/club_week").status_code == 303, "others are answered"


def test_of_one_address_all_wait_whatever_they_call_themselves(
    folder: DataFolder, knock: Knock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dashboard.door.guard.ASKED_FROM", Rate(burst=5, per_s=1e-6))
    browser, name = knock(folder), read_door(folder).cookie_name
    statuses = [browser.get("/", headers={"cookie": f"{name}={token}"}).status_code for token in range(9)]

    assert statuses == [303] * 5 + [429] * 4


def test_what_follows_a_refusal_is_not_read(folder: DataFolder, knock: Knock) -> None:
    refused = knock(folder).put(UPLOAD, content=b"x", headers={"origin": HERE})

    assert (refused.status_code, refused.headers["connection"]) == (401, "close")
    assert "connection" not in knock(folder).get("/static/js/index.js").headers


def test_a_flood_of_refusals_is_noted_by_its_beginning(folder: DataFolder, knock: Knock) -> None:
    browser = come_in(knock(folder), folder)
    for _ in range(50):
        browser.post("/table/taps", headers={"origin": "http://elsewhere.example"})

    with club_file(folder) as connection:
        (entry,) = audit_trail.entries(connection, owner("test"), 100, Event.REFUSAL)
    assert entry.times == NOTED.burst


def test_a_stranger_may_only_ask_whether_the_server_is_alive(folder: DataFolder, knock: Knock) -> None:
    assert knock(folder).get("/_stcore/health").json()["path"] == "/_stcore/health"


@pytest.mark.parametrize("path", ["/_stcore/metrics", "/_stcore/agent/openapi.json", "/auth/login", "/oauth2callback"])
def test_what_nobody_here_needs_is_served_to_nobody(folder: DataFolder, knock: Knock, path: str) -> None:
    assert come_in(knock(folder), folder).get(path).status_code == 404


def test_somebody_who_is_signed_in_gets_through_with_their_name_on(folder: DataFolder, knock: Knock) -> None:
    told = come_in(knock(folder), folder).get("/my_training").json()

    with club_file(folder) as connection:
        account = accounts.by_name(connection, "Ada Lind")
    assert account is not None
    assert told["headers"]["x-halflong-account"] == str(account.account)


@pytest.mark.parametrize("name", ["x-halflong-account", "X-Halflong-Account", "X-HALFLONG-SESSION"])
def test_a_name_that_the_browser_puts_on_itself_is_cut_off(folder: DataFolder, knock: Knock, name: str) -> None:
    forged = knock(folder).get("/_stcore/health", headers={name: "1"}).json()["headers"]
    both = come_in(knock(folder), folder).get("/my_training", headers={name: "999"}).json()["headers"]

    assert name.lower() not in forged
    assert both[name.lower()] != "999"


def test_a_forged_name_opens_nothing(folder: DataFolder, knock: Knock) -> None:
    forged = {"x-halflong-account": "1", "x-halflong-session": "1"}

    assert knock(folder).get("/club_week", headers=forged).status_code == 303


@pytest.mark.parametrize("token", ["", "x", "A" * 43, "' or 1=1 --", "\x7f"])
def test_a_made_up_cookie_opens_nothing(folder: DataFolder, knock: Knock, token: str) -> None:
    cookie = {"cookie": f"{read_door(folder).cookie_name}={token}"}

    assert knock(folder).get("/club_week", headers=cookie).status_code == 303


@pytest.mark.parametrize(
    ("settings", "hours_unseen", "hours_made", "status"),
    [
        ("", 23, 23, 200),
        ("", 25, 25, 303),
        ("coordinator_idle_hours = 2\n", 3, 3, 303),
        ("coordinator_idle_hours = 48\n", 25, 25, 200),
        ("coordinator_most_days = 1\n", 0, 25, 303),
        ("coordinator_most_days = 30\n", 0, 200, 200),
    ],
)
def test_how_long_a_coordinator_stays_signed_in_is_the_clubs_to_say(
    folder: DataFolder, knock: Knock, settings: str, hours_unseen: int, hours_made: int, status: int
) -> None:
    browser = come_in(knock(folder), folder, "Nora Quill")
    folder.settings_file.write_text(settings, encoding="utf-8")
    now = datetime.now(UTC)
    then = [at(now - timedelta(hours=hours)) for hours in (hours_unseen, hours_made)]
    with club_file(folder) as connection:
        connection.execute("update web_sessions set seen_at = ?, made_at = ?", then)

    assert browser.get("/club_week").status_code == status


def test_a_session_that_was_ended_elsewhere_is_over_at_once(folder: DataFolder, knock: Knock) -> None:
    browser = come_in(knock(folder), folder)
    assert browser.get("/my_training").status_code == 200
    with club_file(folder) as connection:
        account = accounts.by_name(connection, "Ada Lind")
        assert account is not None
        web_sessions.end_all(connection, account.account)

    assert browser.get("/my_training").status_code == 303


@pytest.mark.parametrize(
    "sent",
    [
        {"origin": "https://elsewhere.example"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "null"},
        {"origin": HERE, "sec-fetch-site": "cross-site"},
        {"origin": HERE, "sec-fetch-site": "same-site"},
        {},
    ],
    ids=["other site", "other port", "sandboxed", "told by the browser", "other host of the same site", "not told"],
)
@pytest.mark.parametrize("path", ["/account/sign-out", "/table/taps", UPLOAD])
def test_nothing_is_done_for_a_page_that_is_not_ours(
    folder: DataFolder, knock: Knock, sent: dict[str, str], path: str
) -> None:
    browser = come_in(knock(folder), folder)

    assert browser.post(path, headers=sent).status_code == 403
    assert browser.get("/my_training").status_code == 200, "still signed in"
    assert refusals(folder) == [("Ada Lind", f"POST {path}: sent from another site")]


def test_behind_a_proxy_that_nobody_told_us_of_it_is_said_what_to_set(folder: DataFolder, knock: Knock) -> None:
    sent = {"origin": "https://club.example", "x-forwarded-proto": "https"}

    assert "set public_url in club.toml" in come_in(knock(folder), folder).post("/table/taps", headers=sent).text


@pytest.mark.parametrize("sent", [{"origin": HERE}, {"origin": HERE, "sec-fetch-site": "same-origin"}])
def test_our_own_pages_may_send(folder: DataFolder, knock: Knock, sent: dict[str, str]) -> None:
    assert come_in(knock(folder), folder).post("/table/taps", headers=sent).status_code == 200


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "", "[", "a" * 300])
def test_under_a_foreign_name_nothing_is_answered(folder: DataFolder, knock: Knock, host: str) -> None:
    """A page elsewhere that lets its own name mean our address must not read us."""
    answer = come_in(knock(folder), folder).get("/my_training", headers={"host": host})

    assert answer.status_code == 421
    assert "public_url" in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1:8501", "localhost:8501", "LOCALHOST", "[::1]:8501", "192.168.1.20:80"])
def test_under_an_address_or_localhost_it_is(folder: DataFolder, knock: Knock, host: str) -> None:
    assert come_in(knock(folder), folder).get("/my_training", headers={"host": host}).status_code == 200


def test_a_body_that_is_too_large_is_not_taken(folder: DataFolder, knock: Knock) -> None:
    browser = come_in(knock(folder), folder)
    answer = browser.post("/table/taps", headers={"origin": HERE}, content=b"x" * 1_000_001)

    assert answer.status_code == 413
    assert browser.post("/table/taps", headers={"origin": HERE}, content=b"x" * 900_000).json()["bytes"] == 900_000


def opened(browser: TestClient, path: str = STREAM, **headers: str) -> dict[str, str]:
    """What the screens are told when a websocket is opened."""
    with browser.websocket_connect(SOCKETS + path, headers=headers) as websocket:
        told: dict[str, str] = websocket.receive_json()
        websocket.send_bytes(b"")
        return told


@pytest.mark.parametrize(
    ("path", "headers"),
    [
        (STREAM, {"origin": HERE, "x-halflong-account": "1", "x-halflong-session": "1"}),
        (STREAM, {"origin": HERE, "cookie": "halflong-club=made-up"}),
        (STREAM, {}),
    ],
)
def test_no_websocket_is_opened_for_a_stranger(
    folder: DataFolder, knock: Knock, path: str, headers: dict[str, str]
) -> None:
    with pytest.raises(WebSocketDisconnect):
        opened(knock(folder), path, **headers)


@pytest.mark.parametrize(
    "headers",
    [{"origin": "https://elsewhere.example"}, {"origin": "http://localhost:9"}, {}, {"host": "elsewhere.example"}],
)
def test_no_websocket_is_opened_from_elsewhere(folder: DataFolder, knock: Knock, headers: dict[str, str]) -> None:
    with pytest.raises(WebSocketDisconnect):
        opened(come_in(knock(folder), folder), **headers)


def test_no_websocket_is_opened_but_that_of_the_screens(folder: DataFolder, knock: Knock) -> None:
    with pytest.raises(WebSocketDisconnect):
        opened(come_in(knock(folder), folder), "/elsewhere", origin=HERE)


def test_the_websocket_of_somebody_signed_in_carries_their_true_name(folder: DataFolder, knock: Knock) -> None:
    told = opened(come_in(knock(folder), folder), origin=HERE, **{"x-halflong-account": "999"})

    assert told["x-halflong-account"] != "999"


def test_a_file_shown_to_one_browser_is_not_given_to_another(folder: DataFolder, knock: Knock) -> None:
    """Streamlit itself gives a file to whoever knows its address."""
    browser = come_in(knock(folder), folder)
    show(browser, a_file())
    assert browser.get(FILE + ".csv").status_code == 200

    browser.cookies.clear()
    come_in(browser, folder, "Otto Orr")
    assert browser.get(FILE + ".csv").status_code == 403
    assert refusals(folder) == [("Otto Orr", f"GET {FILE}.csv: a file that was never shown to this browser")]


def test_an_upload_goes_only_where_this_browser_was_told_to_put_it(folder: DataFolder, knock: Knock) -> None:
    browser = come_in(knock(folder), folder)
    assert browser.put(UPLOAD, headers={"origin": HERE}, content=b"x").status_code == 403
    show(browser, an_address())

    assert browser.put(UPLOAD, headers={"origin": HERE}, content=b"x").status_code == 200


def test_an_upload_is_cut_off_soon_after_10_mb(folder: DataFolder, knock: Knock) -> None:
    """Streamlit itself refuses more than 10 MB; the guard, whatever Streamlit does, more than a little beyond."""
    browser = come_in(knock(folder), folder)
    show(browser, an_address())

    assert browser.put(UPLOAD, headers={"origin": HERE}, content=b"x" * 10 * 2**20).status_code == 200
    assert browser.put(UPLOAD, headers={"origin": HERE}, content=b"x" * 12 * 2**20).status_code == 413


def test_a_browser_uploads_no_more_than_is_kept_of_one(folder: DataFolder, knock: Knock) -> None:
    browser = come_in(knock(folder), folder)
    show(browser, an_address())
    statuses = [browser.put(UPLOAD, headers={"origin": HERE}, content=b"x" * 10 * 2**20).status_code for _ in range(6)]

    assert statuses == [200] * 5 + [413]


def a_file() -> bytes:
    """The screens show a button with a file behind it."""
    message = ForwardMsg()
    message.delta.new_element.download_button.url = f"{FILE}.csv"
    return message.SerializeToString()


def an_address() -> bytes:
    """The screens say where to upload something."""
    message = ForwardMsg()
    message.file_urls_response.file_urls.add(upload_url=UPLOAD, delete_url=UPLOAD)
    return message.SerializeToString()


def show(browser: TestClient, told: bytes) -> None:
    """Let the screens tell the browser something."""
    with browser.websocket_connect(SOCKETS + STREAM, headers={"origin": HERE}) as websocket:
        websocket.receive_json()
        websocket.send_bytes(told)
        assert websocket.receive_bytes() == told


ANSWERS = (
    ("GET", "/account/sign-in", {}),
    ("GET", "/account/style.css", {}),
    ("GET", "/account/invitation/x", {}),
    ("GET", "/board", {}),
    ("GET", "/static/x.js", {}),
    ("GET", "/_stcore/health", {}),
    ("GET", "/_stcore/metrics", {}),
    ("POST", "/account/sign-in", {"origin": "https://elsewhere.example"}),
    ("POST", "/account/sign-in", {"origin": HERE}),
    ("GET", "/", {"host": "elsewhere.example"}),
)


@pytest.mark.parametrize(("method", "path", "headers"), ANSWERS)
@pytest.mark.parametrize("is_signed_in", [False, True])
def test_every_answer_carries_the_policy_and_its_fellows(
    folder: DataFolder, knock: Knock, method: str, path: str, headers: dict[str, str], is_signed_in: bool
) -> None:
    browser = come_in(knock(folder), folder) if is_signed_in else knock(folder)
    must_be_guarded(browser.request(method, path, headers=headers).headers)


def test_the_answer_to_a_fault_of_ours_carries_them_too_and_tells_nothing(folder: DataFolder, knock: Knock) -> None:
    answer = come_in(knock(folder), folder).get("/broken")

    assert answer.status_code == 500
    assert "a fault of ours" not in answer.text
    must_be_guarded(answer.headers)


def test_a_damaged_club_file_lets_nobody_in(folder: DataFolder, knock: Knock) -> None:
    browser = come_in(knock(folder), folder)
    for part in folder.path.glob("club.sqlite*"):
        part.write_bytes(b"no database" * 1000)
    answer = browser.get("/my_training")

    assert answer.status_code == 503
    must_be_guarded(answer.headers)


def must_be_guarded(headers: object) -> None:
    """OWASP Secure Headers Project; the policy lets scripts run from here only, none inline, and no evaluation."""
    told = dict(headers)  # type: ignore[call-overload]
    policy = {part.split()[0]: part.split()[1:] for part in told["content-security-policy"].split(";")}
    assert policy["frame-ancestors"] == ["'none'"]
    assert policy["form-action"] == ["'self'"]
    assert {source for source in policy["script-src"] if not source.startswith("'sha256-")} == {"'self'"}
    assert policy["default-src"] in (["'self'"], ["'none'"])
    assert told["x-content-type-options"] == "nosniff"
    assert told["x-frame-options"] == "DENY"
    assert told["referrer-policy"] == "same-origin"
    assert told["cross-origin-opener-policy"] == "same-origin"


def behind_tls(folder: DataFolder) -> Door:
    return Door(folder, DoorSettings(public_url="https://club.example/"))


def test_behind_a_tls_proxy_only_its_name_is_ours_and_the_cookie_is_bound_to_it(
    folder: DataFolder, knock: Knock
) -> None:
    door = behind_tls(folder)
    browser = knock(folder, door=door, url="https://club.example")
    browser.cookies.set(door.cookie_name, token_of(folder, "Ada Lind", Role.PLAYER))
    answer = browser.post("/account/sign-out", headers={"origin": "https://club.example"})

    assert door.cookie_name == "__Host-halflong-club"
    assert answer.status_code == 303
    assert "Secure" in answer.headers["set-cookie"]
    assert answer.headers["strict-transport-security"] == "max-age=31536000"
    assert "wss://club.example" in browser.get("/board").headers["content-security-policy"]


def test_a_proxy_that_names_itself_as_host_is_understood(folder: DataFolder, knock: Knock) -> None:
    """Some proxies pass their own address on in the Host header; the browser's page is still the public one."""
    door = behind_tls(folder)
    browser = knock(folder, door=door)
    browser.cookies.set(door.cookie_name, token_of(folder, "Ada Lind", Role.PLAYER))

    assert browser.post("/table/taps", headers={"origin": "https://club.example"}).status_code == 200
