"""What the page offers: the players whom one may log, the setups, the words, and balls for a block."""

from collections.abc import Iterable
from datetime import date
from itertools import groupby
from typing import Any

from dashboard import questions
from dashboard.at_table.drawn_feeds import drawn_feeds
from dashboard.questions import Desk
from dashboard.rows.building import Words
from dashboard.rows.feeding import MetSetupRow
from dashboard.services import plans
from dashboard.words.phrases import balls, day, label, phrase
from dashboard.words.plan import how_far, log_end
from models.permits import Reader, Role
from models.planned import feed_of
from models.records import Column
from models.settings import Settings
from models.tap_events import ASKED_WORDS
from models.words import WordList
from sql.warehouse import NothingPublished

Offer = dict[str, Any]

LOGGING_ROLES = (Role.COORDINATOR, Role.COACH, Role.PLAYER)
BLOCKS_LOOKED_AT = 12
MOST_OFFERS_OF_A_KIND = 3
MOST_PLANNED_AT_ONCE = 6


def logged_by(reader: Reader, desk: Desk) -> list[dict[str, Any]]:
    """The players for whom somebody may log: code, name, group."""
    if reader.role not in LOGGING_ROLES:
        return []
    try:
        players = questions.players(desk)
    except NothingPublished:
        return []
    return [{"code": player.player_id, "name": player.name, "group": player.group_name} for player in players]


def start(reader: Reader, desk: Desk, settings: Settings) -> dict[str, Any]:
    """Everything that the page needs to begin."""
    return {
        "account": {"number": reader.account, "name": reader.name, "role": reader.role},
        "club": settings.club_id,
        "is_invented": settings.is_invented,
        "players": logged_by(reader, desk),
        "setups": _setups(desk),
        "words": {column.name: _words(column.shape.words) for column in ASKED_WORDS},
        "asked": [_asked(column) for column in ASKED_WORDS],
    }


def _asked(column: Column) -> dict[str, Any]:
    """A list of words as the page asks for one of them."""
    return {"column": column.name, "title": label(column.name).capitalize(), "is_needed": column.is_required}


def _words(words: WordList) -> list[dict[str, str]]:
    return [{"name": word, "label": label(word), "phrase": phrase(words.name, word)} for word in words.names]


def _setups(desk: Desk) -> list[dict[str, str]]:
    try:
        names = questions.setup_names(desk)
    except NothingPublished:
        return []
    return [{"code": code, "name": name} for code, name in names.items()]


def offers(desk: Desk, player: str, today: date, block: str = "") -> list[Offer]:
    """Balls for the next block of a player: what is planned, else what is wanted and lacks most; then what was lately.

    Of a plan the next blocks are offered whose balls were not all fed at the table yet. It was made of what lacks most.
    `block`: a planned block that a code on paper names, such as 2026-03-02/4; it comes first, done or not.
    """
    try:
        planned = _planned(desk, player, today, block)
        weeks = questions.weeks(desk)
        found = [*(planned or _lacking(desk, player, today)), *_lately(desk, player)] if weeks else planned
        kinds = iter(drawn_feeds(desk, player, [feed for offer in found for feed in offer["feeds"]]))
        return [offer | {"drawn": [next(kinds) for _ in offer["feeds"]]} for offer in found]
    except NothingPublished:
        return []


def _planned(desk: Desk, player: str, today: date, asked: str) -> list[Offer]:
    plan = plans.next_kept(desk, player, today)
    if plan is None:
        return []
    when = "" if plan.meant_for == today else f" for {day(plan.meant_for, today)}"
    named = {f"{plan.meant_for}/{number}": block for number, block in enumerate(plan.blocks, start=1)}
    shown = sorted(
        (name for name, block in named.items() if name == asked or not block.is_done), key=lambda name: name != asked
    )
    return [
        {
            "text": f"Planned{when}, {f'{how_far(block)} balls' if block.fed else balls(block.balls)}",
            "order": block.order,
            "balls": block.balls if block.is_done else block.balls - block.fed,
            "calls": list(block.calls if block.is_done else block.calls[block.fed :]),
            "feeds": [ball.feed for ball in block.kinds],
            "planned": name,
        }
        for name, block in ((name, named[name]) for name in shown[:MOST_PLANNED_AT_ONCE])
    ]


def _lacking(desk: Desk, player: str, today: date) -> list[Offer]:
    gaps = questions.feed_next(desk, player, today, MOST_OFFERS_OF_A_KIND)
    setups = questions.setups_met_by(desk, player)
    text = f"Wanted, and lacking{log_end(questions.last_day(desk), today)}"
    return [{"text": text, "order": "blocked", "feeds": [_wanted(gap.words, setups)]} for gap in gaps]


def _wanted(words: Words, setups: Iterable[MetSetupRow]) -> dict[str, Any]:
    """A combination of a target as a feed; where the club's setups do not give it, the place stays open too."""
    fitting = [s.setup_id for s in setups if (words["depth"] or s.depth, words["side"] or s.side) == (s.depth, s.side)]
    return feed_of(words, fitting[0] if (words["depth"] or words["side"]) and fitting else None)


def _lately(desk: Desk, player: str) -> list[Offer]:
    rows = questions.fed_lately(desk, player, BLOCKS_LOOKED_AT)
    found: list[Offer] = []
    for (on, _, _), block in groupby(rows, key=lambda row: (row.session_date, row.session_id, row.block)):
        feeds = list(block)
        offer = {
            "text": f"As on {day(on, date.min)}",
            "order": feeds[0].order_declared,
            "feeds": [feed.phone_values for feed in feeds],
        }
        if offer["feeds"] not in [earlier["feeds"] for earlier in found]:
            found.append(offer)
    return found[:MOST_OFFERS_OF_A_KIND]
