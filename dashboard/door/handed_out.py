"""Which addresses of files were handed to which browser: Streamlit itself gives a file to whoever knows its address."""

from collections import OrderedDict
from collections.abc import Iterable

MOST_KEPT = 20_000


class HandedOut:
    """Remembers, for each session, the addresses that its websockets were told. In memory, as the files are."""

    def __init__(self) -> None:
        self._known: OrderedDict[tuple[int, str], None] = OrderedDict()

    def remember(self, session: int, addresses: Iterable[str]) -> None:
        """These were told."""
        for address in addresses:
            self._known[session, address] = None
            self._known.move_to_end((session, address))
        while len(self._known) > MOST_KEPT:
            self._known.popitem(last=False)

    def has(self, session: int, address: str) -> bool:
        """This browser was told this address."""
        return (session, address) in self._known
