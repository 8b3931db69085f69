"""Whoever is signed out elsewhere loses the pages that are open: their sockets are closed within seconds.

Where a session was ended does not matter: on a page, by a command, by another process that serves. Each run of a page
asks anew whether somebody is signed in; this is for what stands open without a run.
"""

from asyncio import Task, create_task, sleep
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from anyio.to_thread import run_sync

from dashboard.door.sockets import Socket
from sql.club.file import club_file
from sql.club.web_sessions import still_open
from sql.folder import DataFolder, FolderProblem

LOOKED_EVERY_S = 2.0
SIGNED_OUT = "You are signed out."


class EndedSessions:
    """The open sockets by session, and the look at the club file for all of them together."""

    def __init__(self, folder: DataFolder) -> None:
        self._folder = folder
        self._sockets: dict[int, set[Socket]] = defaultdict(set)
        self._looking: Task[None] | None = None

    @contextmanager
    def closing(self, session: int, socket: Socket) -> Iterator[None]:
        """Close this socket as soon as its session is ended."""
        self._sockets[session].add(socket)
        if self._looking is None or self._looking.done():
            self._looking = create_task(self._look())
        try:
            yield
        finally:
            self._sockets[session].discard(socket)
            if not self._sockets[session]:
                del self._sockets[session]

    async def _look(self) -> None:
        while self._sockets:
            await sleep(LOOKED_EVERY_S)
            for session in await run_sync(self._ended, frozenset(self._sockets)):
                for socket in [*self._sockets.get(session, ())]:
                    with suppress(OSError, RuntimeError):  # The browser has closed it in the same instant.
                        await socket.close(SIGNED_OUT)

    def _ended(self, sessions: frozenset[int]) -> frozenset[int]:
        try:
            with club_file(self._folder) as connection:
                return sessions - still_open(connection, sessions)
        except FolderProblem:  # Told by whatever page is asked for next; a file that is busy ends nobody's session.
            return frozenset()
