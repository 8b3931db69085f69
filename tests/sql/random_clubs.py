"""Small clubs made by Hypothesis: batches that repeat, correct, withdraw and refuse, and columns left empty."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from models.settings import Settings
from models.words import (
    COVERAGE_DIMENSIONS,
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
from tests.oracle_log import FEED, MISTAKES, Batch, Row
from tests.sql.clubs import LOADED_AT, file_sha256, line_of

RandomClubs = list[tuple[Settings, tuple[Batch, ...]]]

PLAYERS = ("P1", "P2")
GROUPS = ("G1", "G2")
SETUPS = ("BC", "NF")
DAYS = tuple(date(2026, 12, 14) + timedelta(days=n) for n in (0, 6, 7, 13, 14, 18, 20, 21, 28, 34, 35, 49))
MOVES = (date(2026, 12, 20), date(2027, 1, 11))


def maybe(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | values


def a_word(words: WordList) -> st.SearchStrategy[str]:
    return st.sampled_from(words.names)


A_SETTING = st.builds(
    Settings,
    window_days=st.sampled_from([7, 28]),
    covered_balls=st.integers(1, 40),
    rate_balls=st.integers(1, 60),
    variety_short_share=st.sampled_from([0.0, 0.25, 0.5, 1.0]),
    likeness_decay=st.sampled_from([0.5, 2.0]),
    centre_within_cm=st.sampled_from([0, 25]),
    counts_own_balls=st.booleans(),
)

A_PLAYER = st.fixed_dictionaries(
    {
        "player": st.sampled_from(PLAYERS),
        "handedness": st.sampled_from(["right", "left"]),
        "group": maybe(st.sampled_from(GROUPS)),
        "joined_on": maybe(st.sampled_from(DAYS)),
        "hand_since": maybe(st.sampled_from(DAYS)),
        "active": maybe(st.booleans()),
        "name": maybe(st.just("Ada")),
    }
)

A_SETUP = st.fixed_dictionaries(
    {
        "setup": st.sampled_from(SETUPS),
        "valid_from": st.sampled_from(MOVES),
        "x_cm": st.sampled_from([-40.0, 29.9, 30.0, 91.0]),
        "y_cm": st.sampled_from([-60.0, -25.0, 0.0, 25.1]),
    }
)

A_BALL = {
    "setup": st.sampled_from(SETUPS),
    "spin": a_word(SPIN),
    "sidespin": maybe(a_word(SIDESPIN)),
    "length": a_word(LENGTH),
    "placement": maybe(a_word(PLACEMENT)),
    "height": maybe(a_word(HEIGHT)),
    "tempo_bpm": maybe(st.sampled_from([20.0, 40.0, 59.9, 60.0])),
    "stroke": maybe(a_word(STROKE)),
}

A_BLOCK = {
    "session_date": st.sampled_from(DAYS),
    "session": st.sampled_from(["1", "2"]),
    "player": st.sampled_from(PLAYERS),
    "block": st.integers(1, 2),
    "order": maybe(a_word(ORDER)),
    "minutes": maybe(st.sampled_from([0.0, 5.0, 7.5])),
    "effort": maybe(st.sampled_from([0.0, 4.0])),
}


def _some(
    lines: st.SearchStrategy[Row], identity: tuple[str, ...], fewest: int, most: int
) -> st.SearchStrategy[list[Row]]:
    unique_by = lambda line: tuple(line[name] for name in identity)  # noqa: E731
    return st.lists(lines, min_size=fewest, max_size=most, unique_by=unique_by)


@st.composite
def a_counted_line(draw: st.DrawFn) -> Row:
    line = draw(st.fixed_dictionaries({**A_BLOCK, **A_BALL, "feed": st.integers(1, 2)}))
    counts = dict(zip(("good", *MISTAKES), draw(st.lists(st.integers(0, 12), min_size=5, max_size=5)), strict=True))
    balls = max(sum(counts.values()), 1)
    counts["good"] += balls - sum(counts.values())
    return line | {"balls": balls} | (counts if draw(st.booleans()) else {"good": counts["good"]})


@st.composite
def a_block_ball_by_ball(draw: st.DrawFn) -> list[Row]:
    """Up to twenty balls of up to three kinds: one kind after the other, in turn, or as it comes."""
    block = draw(st.fixed_dictionaries(A_BLOCK))
    kinds = draw(st.lists(st.fixed_dictionaries({**A_BALL, "feed": st.integers(1, 2)}), min_size=1, max_size=3))
    outcomes = draw(st.lists(a_word(OUTCOME), min_size=1, max_size=20))
    one_after_the_other = [at * len(kinds) // len(outcomes) for at in range(len(outcomes))]
    in_turn = [at % len(kinds) for at in range(len(outcomes))]
    as_it_comes = [draw(st.integers(0, len(kinds) - 1)) for _ in outcomes]
    order = draw(st.sampled_from([one_after_the_other, in_turn, as_it_comes]))
    return [
        block | kinds[kind] | {"ball": at, "outcome": outcome}
        for at, (kind, outcome) in enumerate(zip(order, outcomes, strict=True), start=1)
    ]


@st.composite
def a_target(draw: st.DrawFn, receiver: str) -> list[Row]:
    dimensions = draw(st.lists(st.sampled_from(COVERAGE_DIMENSIONS), min_size=1, max_size=3, unique=True))
    return [
        {"target": f"for {receiver}", "applies_to": receiver, "dimension": words.name, "value": word, "share": share}
        for words in dimensions
        for word in draw(st.lists(a_word(words), min_size=1, max_size=4, unique=True))
        for share in [draw(st.sampled_from([1.0, 0.3, 2.0, 0.0]))]
    ]


def names_of_a_line(batch: int, line: int) -> tuple[str, str]:
    """By its file, and by its batch, as older files to mend have it."""
    return f"{file_sha256(batch)[:12]}:{line}", f"{batch}:{line}"


def a_refusal(batch: int) -> st.SearchStrategy[Row]:
    return st.fixed_dictionaries(
        {
            "line": st.integers(2, 4),
            "fault": st.integers(1, 2),
            "mends": maybe(st.sampled_from([*names_of_a_line(batch - 1, 3), *names_of_a_line(batch - 2, 2)])),
            "session_date": maybe(st.sampled_from([*DAYS, date(2062, 1, 1)])),
            "column_name": maybe(st.sampled_from(["spin", "left_out_because"])),
            **{name: st.just("x") for name in ("seen", "expected", "to_do", "cells")},
        }
    )


@st.composite
def a_log_batch(draw: st.DrawFn, number: int) -> Batch:
    lines: list[Row] = []
    kind = draw(st.sampled_from(["sessions", "balls"]))
    if kind == "sessions":
        lines = draw(_some(a_counted_line(), FEED, 5, 12))
    else:
        blocks = draw(st.lists(a_block_ball_by_ball(), min_size=1, max_size=3))
        lines = list(
            {tuple(line[name] for name in (*FEED, "ball")): line for block in blocks for line in block}.values()
        )
    refused = draw(_some(a_refusal(number), ("line", "fault"), 0, 3))
    file_name = draw(st.sampled_from(["week.csv", "mended.csv"]))
    mends = draw(maybe(st.sampled_from([name for at in (number - 1, number + 1) for name in names_of_a_line(at, 2)])))
    whole = [line | {"mends": mends if at == 0 else None} for at, line in enumerate(lines)]
    batch = _batch(number, kind, whole, tuple(refused))
    is_withdrawn, is_own = (draw(st.sampled_from([False, False, False, True])) for _ in range(2))
    is_accepted = is_own and not is_withdrawn and draw(st.booleans())
    return replace(batch, file_name=file_name, is_withdrawn=is_withdrawn, is_own=is_own, is_accepted=is_accepted)


@st.composite
def some_clubs(draw: st.DrawFn) -> RandomClubs:
    """Two to four clubs with their settings and batches; no two batches have the same number."""
    count = draw(st.integers(2, 4))
    settings = [draw(A_SETTING).model_copy(update={"club_id": f"c{at}"}) for at in range(count)]
    return [(club, draw(some_batches(1 + 100 * at))) for at, club in enumerate(settings)]


@st.composite
def some_batches(draw: st.DrawFn, first: int) -> tuple[Batch, ...]:
    """First what every log line needs, then corrections and logs, some of them withdrawn."""
    everyone = [draw(A_PLAYER) | {"player": code} for code in PLAYERS]
    standing = [draw(A_SETUP) | {"setup": code, "valid_from": None} for code in SETUPS]
    receivers = draw(st.lists(st.sampled_from(["*", *GROUPS, *PLAYERS]), min_size=1, max_size=3, unique=True))
    targets = [line for receiver in receivers for line in draw(a_target(receiver))]
    corrected = draw(_some(A_PLAYER, ("player",), 0, 2))
    moved = draw(_some(A_SETUP, ("setup", "valid_from"), 0, 2))
    basics = [
        ("players", everyone),
        ("setups", standing),
        ("targets", targets),
        ("players", corrected),
        ("setups", moved),
    ]
    batches = [_batch(first + at, kind, lines, ()) for at, (kind, lines) in enumerate(basics)]
    batches[3] = replace(batches[3], is_withdrawn=draw(st.booleans()))
    count = draw(st.integers(2, 5))
    return (*batches, *(draw(a_log_batch(first + len(basics) + at)) for at in range(count)))


def _batch(number: int, kind: str, lines: list[Row], refused: tuple[Row, ...]) -> Batch:
    whole = tuple(
        {"line": at, "mends": line.get("mends")} | line_of(kind, {k: v for k, v in line.items() if k != "mends"})
        for at, line in enumerate(lines, start=2)
    )
    return Batch(number, kind, whole, refused, f"{kind}.csv", file_sha256(number), LOADED_AT, False)
