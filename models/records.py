"""One pydantic record per kind of log line: its columns, their words, bounds, units and help, and its rules.

Those of feeders, setups and landings stand in `models/feeding_records.py`, a player's in `models/player_record.py`.

Everything that knows a log's columns is derived from here: templates, screening, forms, documentation, descriptors.
"""

from dataclasses import dataclass
from datetime import date
from functools import reduce
from operator import or_
from typing import Annotated, Any

from pydantic import Field

from models.feeding_records import Feeder, Landing, Setup
from models.log_line import LineRule, LogLine
from models.player_record import Player
from models.shapes import Code, Day, Number, OneOf, Shape, Text, WholeNumber
from models.words import (
    COVERAGE_DIMENSIONS,
    DIMENSION,
    DIMENSION_VALUE,
    HEIGHT,
    LENGTH,
    ORDER,
    OUTCOME,
    PLACEMENT,
    SIDESPIN,
    SPIN,
    STROKE,
    WordList,
)

FIRST_DAY = date(1900, 1, 1)
"""The valid_from of a setup whose line names no day: it was always there."""


def _value_belongs_to(words: WordList) -> LineRule:
    return LineRule(
        "value",
        ("dimension", "value"),
        lambda dimension, value: reduce(or_, [value == word for word in words.names], dimension != words.name),
        "one of " + ", ".join(words.names),
        f"use a word of the dimension {words.name}",
    )


class TargetShare(LogLine):
    """One wanted share of one value of one dimension."""

    kind = "targets"
    about = (
        "The wanted mix. The grid of a target is every combination of the values with a share above 0; shares within a "
        "dimension are scaled to 1. A player has one target: the one for the player, else for the group, else for *."
    )
    identity = ("target", "applies_to", "dimension", "value")

    target: Annotated[str, Code()] = Field(description="the name of the target", examples=["autumn"])
    applies_to: Annotated[str, Code()] = Field(
        description="a player's code, a group, or * for everyone", examples=["*"]
    )
    dimension: Annotated[str, OneOf(DIMENSION)] = Field(description="in what the balls differ", examples=["depth"])
    value: Annotated[str, OneOf(DIMENSION_VALUE)] = Field(
        description="one of the words of that dimension", examples=["back"]
    )
    share: Annotated[float, Number(0, 1000, "share")] = Field(
        description="how much of it is wanted, in any unit; 0 takes the value out of the grid", examples=["0.4"]
    )

    rules = tuple(_value_belongs_to(words) for words in COVERAGE_DIMENSIONS)


class _Fed(LogLine):
    """What a counted line and a single ball have in common: who, when, and which ball was fed."""

    session_date: Annotated[date, Day()] = Field(description="the day of the session", examples=["2026-03-02"])
    session: Annotated[str | None, Code()] = Field(
        None, description="a label or the start time, where a day has several sessions; empty is 1", examples=["1"]
    )
    player: Annotated[str, Code()] = Field(
        description="the code of a player who is in the players log", examples=["P01"]
    )
    coach: Annotated[str | None, Text(80)] = Field(None, description="who led the session", examples=["M. Roe"])
    block: Annotated[int | None, WholeNumber(1, 200)] = Field(
        None, description="the drill block within the session, counted from 1; empty is 1", examples=["1"]
    )
    order: Annotated[str | None, OneOf(ORDER)] = Field(
        None, description="how the balls of the block follow each other", examples=["blocked"]
    )
    feed: Annotated[int | None, WholeNumber(1, 20)] = Field(
        None, description="the place in a combination of several feeds, from 1; empty is 1", examples=["1"]
    )
    setup: Annotated[str, Code()] = Field(description="the code of a setup that is in the setups log", examples=["BC"])
    spin: Annotated[str, OneOf(SPIN)] = Field(description="the spin of the fed ball", examples=["backspin"])
    sidespin: Annotated[str | None, OneOf(SIDESPIN)] = Field(
        None, description="the way the ball curves for the player", examples=["none"]
    )
    length: Annotated[str, OneOf(LENGTH)] = Field(description="how far the fed ball carries", examples=["short"])
    placement: Annotated[str | None, OneOf(PLACEMENT)] = Field(
        None, description="where the ball comes, as the player sees it", examples=["backhand"]
    )
    height: Annotated[str | None, OneOf(HEIGHT)] = Field(
        None, description="how high it crosses the net", examples=["low"]
    )
    tempo_bpm: Annotated[float | None, Number(1, 200, "balls/min")] = Field(
        None, description="balls per minute", examples=["40"]
    )
    stroke: Annotated[str | None, OneOf(STROKE)] = Field(None, description="the stroke asked for", examples=["push"])
    probe: Annotated[str | None, Code()] = Field(
        None,
        description="the name of a fixed test set that this line belongs to; feed it the same way each time",
        examples=[""],
    )


class SessionLine(_Fed):
    """One kind of feed in one drill block of one player, counted."""

    kind = "sessions"
    about = "The session log. One line is one kind of feed in one drill block of one player, with its balls counted."
    identity = ("session_date", "session", "player", "block", "feed")

    balls: Annotated[int, WholeNumber(1, 2000, "balls")] = Field(description="balls fed", examples=["40"])
    good: Annotated[int, WholeNumber(0, 2000, "balls")] = Field(
        description="balls that landed where the drill asked", examples=["29"]
    )
    net: Annotated[int | None, WholeNumber(0, 2000, "balls")] = Field(None, description="into the net", examples=["6"])
    long: Annotated[int | None, WholeNumber(0, 2000, "balls")] = Field(
        None, description="beyond the end line", examples=["3"]
    )
    wide: Annotated[int | None, WholeNumber(0, 2000, "balls")] = Field(
        None, description="beyond a side line", examples=["1"]
    )
    missed: Annotated[int | None, WholeNumber(0, 2000, "balls")] = Field(
        None, description="not touched", examples=["1"]
    )
    minutes: Annotated[float | None, Number(0, 300, "min")] = Field(
        None, description="how long the block took; the same figure on each line of the block", examples=["5"]
    )
    effort: Annotated[float | None, Number(0, 10)] = Field(
        None, description="how hard the whole session was for the player, 0 to 10", examples=["4"]
    )
    note: Annotated[str | None, Text(500)] = Field(None, description="anything worth remembering", examples=[""])

    rules = (
        LineRule(
            "good",
            ("good", "balls"),
            lambda good, balls: good <= balls,
            "no more good balls than balls fed",
            "count again: good may be at most balls",
        ),
        LineRule(
            "balls",
            ("balls", "good", "net", "long", "wide", "missed"),
            lambda balls, good, net, long, wide, missed: good + net + long + wide + missed == balls,
            "good + net + long + wide + missed to equal balls",
            "correct the counts, or leave all four error columns empty",
            asked_when=("net", "long", "wide", "missed"),
            empty_counts_as=0,
        ),
    )


class BallLine(_Fed):
    """One ball."""

    kind = "balls"
    about = "The ball log. One line is one ball; it alone knows the order in which the balls came."
    identity = ("session_date", "session", "player", "block", "feed", "ball")

    ball: Annotated[int, WholeNumber(1, 5000)] = Field(
        description="the place of the ball in its block, counted from 1", examples=["1"]
    )
    outcome: Annotated[str, OneOf(OUTCOME)] = Field(description="what became of it", examples=["good"])
    minutes: Annotated[float | None, Number(0, 300, "min")] = Field(
        None, description="how long the block took; the same figure on each line of the block", examples=["5"]
    )
    effort: Annotated[float | None, Number(0, 10)] = Field(
        None, description="how hard the whole session was for the player, 0 to 10", examples=["4"]
    )
    note: Annotated[str | None, Text(500)] = Field(None, description="anything worth remembering", examples=[""])


RECORDS: dict[str, type[LogLine]] = {
    record.kind: record for record in (Player, Feeder, Setup, TargetShare, SessionLine, BallLine, Landing)
}
"""The record of each kind of log, in the order in which the kinds must be loaded."""

LOGGED_DIMENSIONS = tuple(name for name in DIMENSION.names if name in BallLine.model_fields)
"""The coverage dimensions that a line of the log says in their own words; the others are derived from it."""

EMPTY_IDENTITY: dict[str, Any] = {"session": "1", "block": 1, "feed": 1, "valid_from": FIRST_DAY}
"""What an empty column of an identity stands for."""


@dataclass(frozen=True)
class Column:
    """One column of a kind of log, as its record declares it."""

    name: str
    shape: Any
    is_required: bool
    help: str
    example: str


def columns_of(record: type[LogLine]) -> tuple[Column, ...]:
    """The columns of a kind of log in the order of its record."""
    return tuple(
        Column(
            name,
            next(note for note in field.metadata if isinstance(note, Shape)),
            field.is_required(),
            field.description or "",
            (field.examples or [""])[0],
        )
        for name, field in record.model_fields.items()
    )
