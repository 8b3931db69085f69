"""What the guard reads out of Streamlit's messages, made with Streamlit's own classes."""

from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

from dashboard.door.handed_out import HandedOut
from dashboard.door.stream_messages import address_of, asks_to_upload, read_outgoing

MEDIA = "/media/" + "a1" * 28
UPLOAD = "/_stcore/upload_file/" + "/".join(["12345678-1234-1234-1234-123456789abc"] * 2)


def test_addresses_are_taken_from_where_an_element_names_its_file() -> None:
    message = ForwardMsg()
    message.delta.new_element.download_button.url = f"{MEDIA}.csv"
    picture = ForwardMsg()
    picture.delta.new_element.imgs.imgs.add().url = f"{MEDIA}.png"
    answer = ForwardMsg()
    answer.file_urls_response.file_urls.add(upload_url=UPLOAD, delete_url=UPLOAD)

    assert read_outgoing(message.SerializeToString()).addresses == (MEDIA,)
    assert read_outgoing(picture.SerializeToString()).addresses == (MEDIA,)
    assert set(read_outgoing(answer.SerializeToString()).addresses) == {UPLOAD}


def test_what_only_speaks_of_an_address_hands_nothing_out() -> None:
    text = ForwardMsg()
    text.delta.new_element.markdown.body = f"see {MEDIA}.csv"
    echo = ForwardMsg()
    echo.file_urls_response.response_id = MEDIA
    echo.file_urls_response.error_msg = UPLOAD
    link = ForwardMsg()
    link.delta.new_element.download_button.url = f"https://elsewhere.example{MEDIA}"

    assert [read_outgoing(one.SerializeToString()).addresses for one in (text, echo, link)] == [(), (), ()]


def test_no_path_of_the_machine_is_sent() -> None:
    message = ForwardMsg()
    message.new_session.main_script_path = "/srv/club/dashboard/app.py"
    message.new_session.page_script_hash = "abc"

    about = read_outgoing(message.SerializeToString())

    assert b"/srv" not in about.bytes
    assert ForwardMsg.FromString(about.bytes).new_session.page_script_hash == "abc"
    assert about.begins_page


def test_a_run_of_a_part_leaves_the_page_as_it_is() -> None:
    message = ForwardMsg()
    message.new_session.main_script_path = "app.py"
    message.metadata.run.fragment_ids.append("part")

    assert not read_outgoing(message.SerializeToString()).begins_page


def test_a_wish_to_upload_is_heard_and_nonsense_is_none() -> None:
    message = BackMsg()
    message.file_urls_request.file_names.extend(["a.csv", "b.csv"])

    assert asks_to_upload(message.SerializeToString()) == 2
    assert asks_to_upload(BackMsg(stop_script=True).SerializeToString()) == 0
    assert asks_to_upload(b"\xff\xff\xff") is None
    assert asks_to_upload(None) is None


def test_an_address_belongs_to_the_browser_that_was_told_it() -> None:
    handed_out = HandedOut()
    handed_out.remember(1, [MEDIA])

    assert handed_out.has(1, address_of(f"{MEDIA}.csv"))
    assert not handed_out.has(2, MEDIA)
