"""Which addresses of files were handed to which browser: Streamlit itself gives a file to whoever knows its address."""

import re
from collections import OrderedDict

MOST_KEPT = 20_000

_ID = rb"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
# In a message other characters follow an address at once: each form must say itself where it ends.
_ADDRESSES = re.compile(rb"(/media/[0-9a-f]{32,128}(?=\.)|/_stcore/upload_file/" + _ID + b"/" + _ID + b")")


class HandedOut:
    """Remembers, for each session, the addresses in what its websockets were told. In memory, as the files are."""

    def __init__(self) -> None:
        self._known: OrderedDict[tuple[int, str], None] = OrderedDict()

    def remember(self, session: int, told: bytes) -> None:
        """Read the addresses out of a message on its way to the browser."""
        for address in _ADDRESSES.findall(told):
            self._known[session, address.decode()] = None
            self._known.move_to_end((session, address.decode()))
        while len(self._known) > MOST_KEPT:
            self._known.popitem(last=False)

    def has(self, session: int, path: str) -> bool:
        """This browser was told this address. What a file is called at its end does not tell files apart."""
        return (session, path.partition(".")[0]) in self._known
