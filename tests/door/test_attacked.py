"""A served club while somebody who is signed in, or a neighbour on the network, tries to stop it."""

import os
import socket
from contextlib import ExitStack, suppress
from urllib.parse import urlsplit

import httpx2
import pytest
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ClientState_pb2 import ClientState
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.exceptions import ConnectionClosed, InvalidStatus

from dashboard.door.sockets import SocketLimits
from models.permits import Role
from sql.club.audit_trail import Event
from sql.club.file import club_file
from tests.door.conftest import Served
from tests.tabs import PATIENCE_S, Tab, Visitor, visitor

RERUN = BackMsg(rerun_script=ClientState(page_name="my_training")).SerializeToString()


def child(served: Served) -> Visitor:
    return visitor(served.folder, served.url, "Ada Lind", Role.PLAYER, players=["ADA"])


def coordinator(served: Served) -> Visitor:
    return visitor(served.folder, served.url, "Nora Quill", Role.COORDINATOR)


def closing_words(tab: Tab) -> str:
    """What is said when the server closes the socket."""
    try:
        while True:
            tab.connection.recv(timeout=PATIENCE_S)
    except ConnectionClosed as closed:
        return closed.rcvd.reason if closed.rcvd else ""


def refusals(served: Served) -> list[str]:
    with club_file(served.folder) as connection:
        rows = connection.execute("select about from trail where event = ?", [Event.REFUSAL]).fetchall()
    return [about for (about,) in rows]


def test_a_flood_on_one_socket_ends_it_and_others_go_on(served: Served) -> None:
    with child(served).tab() as flooding:
        with suppress(ConnectionClosed):
            for _ in range(300):
                flooding.connection.send(RERUN)
        assert coordinator(served).draw("people").title == "People"
        assert "Too much is asked at once" in closing_words(flooding)
    assert any("Too much is asked at once" in about for about in refusals(served))


def test_tabs_without_end_are_refused_and_others_go_on(served: Served) -> None:
    attacker = child(served)
    with ExitStack() as tabs:
        for _ in range(SocketLimits.of_session):
            tabs.enter_context(attacker.tab())
        with pytest.raises(InvalidStatus) as refused:
            tabs.enter_context(attacker.tab())
        assert refused.value.response.status_code == 403
        assert coordinator(served).draw("people").title == "People"


def wish_to_upload() -> bytes:
    message = BackMsg()
    message.file_urls_request.request_id = "1"
    message.file_urls_request.file_names.append("a.csv")
    return message.SerializeToString()


def test_a_player_gets_no_address_to_upload_to(served: Served) -> None:
    with child(served).tab() as tab:
        assert tab.go("my_training").title == "My training"
        tab.connection.send(wish_to_upload())

        assert "Nothing can be uploaded" in closing_words(tab)


def test_a_coordinator_gets_one_where_logs_are_brought_in(served: Served) -> None:
    with coordinator(served).tab() as tab:
        assert tab.go("bring_in").title == "Bring in logs"
        tab.connection.send(wish_to_upload())
        while True:
            told = ForwardMsg.FromString(bytes(tab.connection.recv(timeout=PATIENCE_S)))
            if told.WhichOneof("type") == "file_urls_response":
                break

    assert told.file_urls_response.file_urls[0].upload_url.startswith("/_stcore/upload_file/")


def test_no_path_of_the_machine_is_sent_to_a_page(served: Served) -> None:
    drawn = child(served).draw("my_training")
    sent = drawn.sent

    assert drawn.title == "My training"
    assert os.getcwd() not in sent
    assert str(served.folder.path) not in sent


def test_a_neighbour_with_idle_connections_keeps_nobody_out(served: Served) -> None:
    at = urlsplit(served.url)
    with ExitStack() as held:
        for neighbour in range(2, 12):
            for _ in range(120):
                source = (f"127.0.0.{neighbour}", 0)
                held.enter_context(socket.create_connection((at.hostname, at.port), 30, source_address=source))
        with httpx2.Client(trust_env=False, timeout=PATIENCE_S) as somebody:
            assert somebody.get(f"{served.url}/account/sign-in").status_code == 200
