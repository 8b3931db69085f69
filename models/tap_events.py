"""What a phone says, held to its form: a block begins, a ball, an undo, a block is done."""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError, model_validator

from models.records import EMPTY_IDENTITY, LOGGED_DIMENSIONS, BallLine, columns_of
from models.refusal import Refused
from models.shapes import Number, OneOf, Text
from models.words import OUTCOME

MOST_TAPS = 5000
"""As many balls as a block of the ball log may have."""
MOST_EVENTS_AT_ONCE = 200
MOST_FEEDS = 20

BLOCK_COLUMNS = ("session_date", "session", "player", "coach", "order", "probe")
"""The columns of the ball log that hold for a whole block and are known when it begins."""
FEED_COLUMNS = ("setup", *LOGGED_DIMENSIONS, "tempo_bpm", "stroke")
"""Those that differ between the feeds of a combination."""
ASKED_WORDS = tuple(c for c in columns_of(BallLine) if c.name in FEED_COLUMNS and isinstance(c.shape, OneOf))
"""Those of them that are said by one word of a list."""

Id = Annotated[str, Field(pattern=r"^[0-9a-f]{32}$")]
Cells = dict[str, str | float | None]


class NotUnderstood(Refused):
    """What a phone said is not of the form that was agreed; the text says where, what was seen and expected."""


class _TapEvent(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    id: Id
    block: Id


class Begin(_TapEvent):
    """A block begins: who, when, and which balls are fed in turn."""

    kind: Literal["begin"]
    values: Cells
    feeds: Annotated[list[Cells], Field(min_length=1, max_length=MOST_FEEDS)]

    @model_validator(mode="after")
    def _makes_lines(self) -> "Begin":
        if surplus := self.values.keys() - set(BLOCK_COLUMNS):
            raise ValueError(f"values: saw {sorted(surplus)}, expected only {', '.join(BLOCK_COLUMNS)}")
        for place, feed in enumerate(self.feeds, start=1):
            if surplus := feed.keys() - set(FEED_COLUMNS):
                raise ValueError(f"feed {place}: saw {sorted(surplus)}, expected only {', '.join(FEED_COLUMNS)}")
            self._line(place)
        return self

    def _line(self, place: int) -> BallLine:
        """The line that a ball of this feed would be. Raises ValueError where the ball log would not take it."""
        try:
            first = {"feed": place, "ball": 1, "outcome": "good"}
            return BallLine.model_validate(self.values | self.feeds[place - 1] | first)
        except ValidationError as error:
            raise ValueError(f"feed {place}: {in_words(error)}") from error

    @property
    def player(self) -> str:
        """Whose block it is."""
        return self._line(1).player

    @property
    def session_date(self) -> date:
        """The day of the session."""
        return self._line(1).session_date

    @property
    def session(self) -> str:
        """The label of the session; where none is given, the one that an empty cell stands for."""
        return self._line(1).session or str(EMPTY_IDENTITY["session"])


class Ball(_TapEvent):
    """What became of one ball."""

    kind: Literal["ball"]
    place: Annotated[int, Field(ge=1, le=2 * MOST_TAPS)]
    feed: Annotated[int, Field(ge=1, le=MOST_FEEDS)]
    outcome: Annotated[str, OneOf(OUTCOME)]


class Undo(_TapEvent):
    """A ball that does not count after all."""

    kind: Literal["undo"]
    place: Annotated[int, Field(ge=1, le=2 * MOST_TAPS)]
    undoes: Id


class Done(_TapEvent):
    """A block is done, with so many taps; or it is dropped, and does not go into the log."""

    kind: Literal["done"]
    taps: Annotated[int, Field(ge=0, le=2 * MOST_TAPS)]
    is_dropped: bool = False
    minutes: Annotated[float | None, Number(0, 300, "min")] = None
    effort: Annotated[float | None, Number(0, 10)] = None
    note: Annotated[str | None, Text(500)] = None


Event = Begin | Ball | Undo | Done

_EVENT: TypeAdapter[Event] = TypeAdapter(Annotated[Event, Field(discriminator="kind")])


class Message(BaseModel):
    """What a phone sends at once: the account that counted, and events, each of which is still to be read."""

    model_config = ConfigDict(extra="forbid", strict=True)

    account: int
    events: Annotated[list[dict[str, Any]], Field(max_length=MOST_EVENTS_AT_ONCE)]


def event_of(values: dict[str, Any]) -> Event:
    """One event. Raises NotUnderstood."""
    try:
        return _EVENT.validate_python(values)
    except ValidationError as error:
        raise NotUnderstood(in_words(error)) from error


def in_words(error: ValidationError) -> str:
    """What does not fit, each fault with its place and what was seen."""
    return "; ".join(_fault(fault["loc"], fault["input"], fault["msg"]) for fault in error.errors())


def _fault(loc: tuple[int | str, ...], seen: Any, message: str) -> str:
    expected = message.removeprefix("Value error, ")
    if message == "Field required":
        expected = "nothing there, expected a value"
    if isinstance(seen, dict | list | bytes) or not loc:
        return ": ".join([*map(str, loc), expected])
    return f"{' '.join(map(str, loc))}: saw {str(seen)[:60]!r}, expected {expected[:1].lower()}{expected[1:]}"
