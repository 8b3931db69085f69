"""The addresses of the page at the table. All of them stand behind the guard, which knows who asks."""

import json
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from math import isfinite
from pathlib import Path
from time import monotonic
from typing import Annotated, Any, TypeVar

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import Route

from dashboard.at_table.drawn_feeds import drawn_feeds
from dashboard.at_table.handing_over import Worker
from dashboard.at_table.in_turn import in_turn
from dashboard.at_table.offers import logged_by, offers, start
from dashboard.at_table.sheet import sheet
from dashboard.at_table.shown_blocks import shown, waiting_batches
from dashboard.door.headers import OWN_PAGES
from dashboard.door.rates import Allowances, Rate
from dashboard.door.routes import known
from dashboard.door.statuses import NotAnswered, status_of
from dashboard.look.dressing import club_colour
from dashboard.questions import Desk
from ingest.club_day import today
from models.permits import Reader, Role
from models.refusal import Refused
from models.tap_events import MOST_FEEDS, Cells, Id, Message, in_words
from sql.club.blocks import blocks_shown_to, finish, try_again
from sql.club.file import ClubConnection, club_file
from sql.club.taps import Scorer, store
from sql.folder import DataFolder

FILES = Path(__file__).parent
KINDS = {".html": "text/html", ".js": "text/javascript"}
HEADERS = {"content-security-policy": f"{OWN_PAGES}; worker-src 'self'"}
MOST_BYTES = 256 * 1024

ASKED = Rate(burst=60, per_s=4)
"""Of one account: a phone asks every second or two, and somebody may hold more than one."""
AT_ONCE, AT_ONCE_OF_ONE = 12, 6
"""So many are answered at the same time, so that pages find threads too; and so many of one account."""

M = TypeVar("M", bound=BaseModel)


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)

    account: int


class _AboutBlock(_Asked):
    block: Id


class _ToDraw(_Asked):
    player: str
    feeds: Annotated[list[Cells], Field(min_length=1, max_length=MOST_FEEDS)]


def routes(folder: DataFolder) -> list[Route]:
    """The page, its files and its questions. Begins to hand over what an earlier process left."""
    at_table = _AtTable(folder)
    parts = [file for file in sorted(FILES.iterdir()) if file.suffix == ".js"]
    return [
        Route("/table", partial(_file, FILES / "page.html")),
        *[Route(f"/table/{part.name}", partial(_file, part)) for part in parts],
        Route("/table/look.css", partial(_sheet, folder)),
        Route("/table/start", at_table.answering(at_table.start)),
        Route("/table/offers", at_table.answering(at_table.offers)),
        Route("/table/drawn", at_table.answering(at_table.drawn), methods=["POST"]),
        Route("/table/in-turn", at_table.answering(at_table.in_turn)),
        Route("/table/taps", at_table.answering(at_table.taps), methods=["POST"]),
        Route("/table/again", at_table.answering(at_table.again), methods=["POST"]),
        Route("/table/finish", at_table.answering(at_table.finish), methods=["POST"]),
    ]


async def _file(file: Path, _request: Request) -> Response:
    # The page's own worker, which lets it open without a network, lies below the page that it works for.
    return FileResponse(file, media_type=KINDS[file.suffix], headers=HEADERS | {"service-worker-allowed": "/table"})


async def _sheet(folder: DataFolder, _request: Request) -> Response:
    return Response(sheet(await run_sync(club_colour, folder)), media_type="text/css", headers=HEADERS)


Answer = Callable[[Reader, Request, bytes], dict[str, Any]]


class _AtTable:
    def __init__(self, folder: DataFolder) -> None:
        self._folder = folder
        self._worker = Worker(folder)
        self._worker.start()
        self._asked = Allowances(ASKED)
        self._at_once = CapacityLimiter(AT_ONCE)
        self._under_way: Counter[int | None] = Counter()

    def answering(self, answer: Answer) -> Callable[[Request], Any]:
        """An endpoint: who asks and what they sent, then the answer in a thread of its own; a refusal is a sentence."""

        async def endpoint(request: Request) -> Response:
            try:
                who = known(request)
                with self._turn_of(who.reader):
                    body = await _body(request) if request.method == "POST" else b""
                    return JSONResponse(await run_sync(answer, who.reader, request, body, limiter=self._at_once))
            except Refused as refused:
                return JSONResponse({"sentence": refused.sentence}, status_of(refused))
            except ClientDisconnect:
                return Response(status_code=400)  # Nobody is there to read it: the network broke off.

        return endpoint

    @contextmanager
    def _turn_of(self, reader: Reader) -> Iterator[None]:
        allowance, under_way = self._asked.of(reader.account, monotonic()), self._under_way
        if under_way[reader.account] >= AT_ONCE_OF_ONE or not allowance.take_if_there(monotonic()):
            raise NotAnswered(429, "Too much is asked at once. Nothing is lost; it is sent again in a moment.")
        under_way[reader.account] += 1
        try:
            yield
        finally:
            under_way[reader.account] -= 1

    def start(self, reader: Reader, _request: Request, _body: bytes) -> dict[str, Any]:
        """What the page needs to begin."""
        text = start(reader, Desk(self._folder, reader), self._folder.settings())
        return text | {"today": today().isoformat()}

    def offers(self, reader: Reader, request: Request, _body: bytes) -> dict[str, Any]:
        """Balls for the next block of a player."""
        asked = request.query_params
        found = offers(Desk(self._folder, reader), asked.get("player", ""), today(), asked.get("block", ""))
        return {"offers": found}

    def drawn(self, reader: Reader, _request: Request, body: bytes) -> dict[str, Any]:
        """Balls that were set by hand, as drawings."""
        asked = _own(_read(_ToDraw, body), reader)
        return {"drawn": drawn_feeds(Desk(self._folder, reader), asked.player, asked.feeds)}

    def in_turn(self, reader: Reader, _request: Request, _body: bytes) -> dict[str, Any]:
        """Whose turn it is at each table of today's plans of the hall."""
        return {"tables": in_turn(Desk(self._folder, reader), today())}

    def taps(self, reader: Reader, _request: Request, body: bytes) -> dict[str, Any]:
        """Store what a phone sent; which of it is on the disk now, what is not and why, and how its blocks stand."""
        message = _own(_read(Message, body), reader)
        scorer, waiting = self._scorer(reader), waiting_batches(Desk(self._folder, reader))
        with club_file(self._folder) as connection:
            stored = store(connection, scorer, message.events, self._folder.settings().most_taps)
            blocks = [shown(block, scorer, waiting) for block in blocks_shown_to(connection, scorer)]
        if message.events and any(block["state"] == "done" for block in blocks):
            self._worker.wake()
        return {"saved": stored.saved, "held": [vars(held) for held in stored.held], "blocks": blocks} | {
            "today": today().isoformat()
        }

    def again(self, reader: Reader, _request: Request, body: bytes) -> dict[str, Any]:
        """Put a refused block in line once more."""
        return self._about_block(try_again, reader, body)

    def finish(self, reader: Reader, _request: Request, body: bytes) -> dict[str, Any]:
        """Finish a block as it is, without the phone on which it was begun."""
        return self._about_block(finish, reader, body)

    def _about_block(
        self, do: Callable[[ClubConnection, Scorer, str], bool], reader: Reader, body: bytes
    ) -> dict[str, Any]:
        asked = _own(_read(_AboutBlock, body), reader)
        with club_file(self._folder) as connection:
            if not do(connection, self._scorer(reader), asked.block):
                raise NotAnswered(404, "There is no such block, or it is not yours, or it has gone on since.")
        self._worker.wake()
        return {}

    def _scorer(self, reader: Reader) -> Scorer:
        players = {player["code"] for player in logged_by(reader, Desk(self._folder, reader))}
        if reader.account is None:
            raise NotAnswered(403, "Only somebody who has signed in can log.")
        return Scorer(reader.account, players.__contains__, is_coordinator=reader.role is Role.COORDINATOR)


async def _body(request: Request) -> bytes:
    # No page of another site can send this kind without asking first, and nobody answers that question.
    if request.headers.get("content-type") != "application/json":
        raise NotAnswered(415, "saw another kind of message, expected application/json.")
    body = b""
    async for part in request.stream():
        body += part
        if len(body) > MOST_BYTES:
            raise NotAnswered(413, f"saw more than {MOST_BYTES} bytes, expected less; nothing of it was stored.")
    return body


def _read(model: type[M], body: bytes) -> M:
    try:
        json.loads(body, parse_constant=_no_number, parse_float=_number)
    except (ValueError, RecursionError) as error:
        raise NotAnswered(
            400, f"saw no JSON that can be read ({error}), expected what the page at the table sends."
        ) from error
    try:
        return model.model_validate_json(body)
    except ValidationError as error:
        raise NotAnswered(422, in_words(error)) from error


def _no_number(text: str) -> float:
    raise ValueError(f"saw {text}, expected a number")


def _number(text: str) -> float:
    number = float(text)
    return number if isfinite(number) else _no_number(text[:20])


def _own(message: Any, reader: Reader) -> Any:
    if message.account != reader.account:
        raise NotAnswered(409, "This was counted by another account than the one that is signed in.")
    return message
