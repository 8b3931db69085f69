"""What goes over a page's websocket, as far as the guard minds it: addresses of files, uploads, paths."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from google.protobuf.message import DecodeError, Message
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

MOST_FILES_AT_ONCE = 20

_ID = r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
_ADDRESS = re.compile(rf"(/media/[0-9a-f]{{32,128}})(?:\.[^/]*)?|(/_stcore/upload_file/{_ID}/{_ID})")
_FIELDS_OF_FILES = {
    "audio": ("url",),
    "download_button": ("url",),
    "imgs": ("imgs", "url"),
    "video": ("url",),
}
"""Where an element names a file that the server keeps. What stands anywhere else is only text."""


@dataclass(frozen=True)
class Outgoing:
    """What a message to the browser is about. `bytes` is what may be sent of it."""

    bytes: bytes
    addresses: tuple[str, ...] = ()
    begins_page: bool = False
    shows_uploader: bool = False


def read_outgoing(message: bytes) -> Outgoing:
    """Read a message on its way to the browser."""
    forward = ForwardMsg.FromString(message)
    kind = forward.WhichOneof("type")
    if kind == "new_session":
        forward.new_session.main_script_path = "app.py"  # The page has no use for where it lies on this machine.
        is_whole = not forward.metadata.run.fragment_ids
        return Outgoing(forward.SerializeToString(), begins_page=is_whole)
    if kind == "delta" and forward.delta.WhichOneof("type") == "new_element":
        element = forward.delta.new_element
        shown = element.WhichOneof("type") or ""
        return Outgoing(message, tuple(_addresses(element, shown)), shows_uploader=shown == "file_uploader")
    if kind == "file_urls_response":
        urls = [url for one in forward.file_urls_response.file_urls for url in (one.upload_url, one.delete_url)]
        return Outgoing(message, tuple(_own(urls)))
    return Outgoing(message)


def _addresses(element: Message, shown: str) -> Iterator[str]:
    if path := _FIELDS_OF_FILES.get(shown):
        yield from _own(_texts(getattr(element, shown), path))


def _texts(message: Message, path: tuple[str, ...]) -> Iterator[str]:
    name, *rest = path
    found = getattr(message, name)
    if not rest:
        yield found
        return
    for one in found:
        yield from _texts(one, tuple(rest))


def _own(texts: Iterator[str] | list[str]) -> Iterator[str]:
    for text in texts:
        if address := _ADDRESS.fullmatch(text):
            yield address[1] or address[2]


def address_of(path: str) -> str:
    """The address that a request names. What a file is called at its end does not tell files apart."""
    return path.partition(".")[0]


def asks_to_upload(message: bytes | None) -> int | None:
    """For how many files a message from the browser asks addresses to upload to; 0 if it is about something else.

    None where it is no message that a page of ours sends.
    """
    try:
        back = BackMsg.FromString(message) if message is not None else None
    except DecodeError:
        return None
    if back is None:
        return None
    return len(back.file_urls_request.file_names) if back.WhichOneof("type") == "file_urls_request" else 0
