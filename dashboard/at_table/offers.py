"""What the page offers: the players whom one may log, the setups, the words, and balls for a block."""

from collections.abc import Iterable, Mapping
from datetime import date
from itertools import groupby
from typing import Any

from dashboard import questions
from dashboard.at_table.said import FEED_COLUMNS
from dashboard.door.permits import Reader, Role
from dashboard.phrases import day, label, phrase
from dashboard.questions import Desk
from models.settings import Settings
from models.words import HEIGHT, LENGTH, PLACEMENT, SIDESPIN, SPIN, STROKE
from sql.warehouse import NothingPublished

Offer = dict[str, Any]

LOGGING_ROLES = (Role.COORDINATOR, Role.COACH, Role.PLAYER)
BLOCKS_LOOKED_AT = 12
MOST_OFFERS_OF_A_KIND = 3


def logged_by(reader: Reader, desk: Desk) -> list[dict[str, Any]]:
    """The players for whom somebody may log: code, name, group."""
    if reader.role not in LOGGING_ROLES:
        return []
    try:
        players = questions.players(desk).select("player_id", "name", "group_name")
    except NothingPublished:
        return []
    return [{"code": code, "name": name, "group": group} for code, name, group in players.iter_rows()]


def start(reader: Reader, desk: Desk, settings: Settings) -> dict[str, Any]:
    """Everything that the page needs to begin."""
    return {
        "account": {"number": reader.account, "name": reader.name, "role": reader.role},
        "club": settings.club_id,
        "is_invented": settings.is_invented,
        "players": logged_by(reader, desk),
        "setups": _setups(desk),
        "words": {words.name: [_word(words.name, word) for word in words.names] for words in _WORD_LISTS},
    }


_WORD_LISTS = (SPIN, SIDESPIN, LENGTH, PLACEMENT, HEIGHT, STROKE)


def _word(dimension: str, word: str) -> dict[str, str]:
    return {"name": word, "label": label(word), "phrase": phrase(dimension, word)}


def _setups(desk: Desk) -> list[dict[str, str]]:
    try:
        names = questions.standing_setups(desk)
    except NothingPublished:
        return []
    return [{"code": code, "name": name} for code, name in names.items()]


def offers(desk: Desk, player: str) -> list[Offer]:
    """Balls for the next block of a player: what is wanted and lacks most, then what was fed lately."""
    try:
        weeks = questions.weeks(desk)
        return [*_lacking(desk, player), *_lately(desk, player)] if weeks else []
    except NothingPublished:
        return []


def _lacking(desk: Desk, player: str) -> list[Offer]:
    cells = questions.feed_next(desk, player, MOST_OFFERS_OF_A_KIND).to_dicts()
    setups = questions.setups_met_by(desk, player).to_dicts()
    return [{"told": "Wanted, and lacking", "order": "blocked", "feeds": [_wanted(cell, setups)]} for cell in cells]


def _wanted(cell: Mapping[str, Any], setups: Iterable[Mapping[str, Any]]) -> dict[str, Any]:
    """A combination of a target as a feed; what the target leaves open, or a club's setups do not give, stays open."""
    feed = {column: cell.get(column) for column in FEED_COLUMNS if column not in ("setup", "tempo_bpm", "stroke")}
    # The middle word of a family is the plain one: backspin, no spin, topspin.
    feed["spin"] = feed["spin"] or cell["spin_family"]
    places = {"depth": cell["depth"], "side": cell["side"]}
    fitting = [s["setup_id"] for s in setups if all(wanted in (None, s[place]) for place, wanted in places.items())]
    if any(places.values()) and fitting:
        feed["setup"] = fitting[0]
    return _filled(feed)


def _lately(desk: Desk, player: str) -> list[Offer]:
    rows = questions.fed_lately(desk, player, BLOCKS_LOOKED_AT).to_dicts()
    found: list[Offer] = []
    for (on, _, _), block in groupby(rows, key=lambda row: (row["session_date"], row["session_id"], row["block"])):
        feeds = list(block)
        offer = {
            "told": f"As on {day(on, date.min)}",
            "order": feeds[0]["order_declared"],
            "feeds": [_filled({column: feed[column] for column in FEED_COLUMNS}) for feed in feeds],
        }
        if offer["feeds"] not in [earlier["feeds"] for earlier in found]:
            found.append(offer)
    return found[:MOST_OFFERS_OF_A_KIND]


def _filled(feed: dict[str, Any]) -> dict[str, Any]:
    return {column: value for column, value in feed.items() if value is not None}
