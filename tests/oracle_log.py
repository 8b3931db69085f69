"""What the log in force says, slowly and plainly: the lines as the players lived them, and what was refused."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from math import atan2, degrees, dist
from typing import Any

from models.records import RECORDS
from models.settings import Settings
from models.words import SPIN

Row = dict[str, Any]

DEEP_CENTRE_CM = (245, 0)
_OF_A_PLAYER = ("handedness", "birth_year", "level", "joined_on", "consent_on", "hand_since")
_OF_A_SETUP = ("valid_from", "feeding", "x_cm", "y_cm", "release_height_cm", "yaw_deg", "net_folded", "note")
MISTAKES = ("net", "long", "wide", "missed")
OUTCOMES = ("good", *MISTAKES, "not_good")
FEED = ("session_date", "session", "player", "block", "feed")
OTHER_HAND = {"right": "left", "left": "right"}
FAMILY = {word.name: word.family for word in SPIN.words}


@dataclass(frozen=True)
class Batch:
    """A loaded file: whole lines of the log and refusals, each with `line` and `mends`."""

    number: int
    kind: str
    lines: tuple[Row, ...]
    refused: tuple[Row, ...]
    file_name: str
    file_sha256: str
    loaded_at: datetime
    is_withdrawn: bool
    is_own: bool = False
    is_accepted: bool = False


def grouped(rows: Iterable[Row], *names: str) -> Iterator[tuple[Row, list[Row]]]:
    groups: dict[tuple[Any, ...], list[Row]] = defaultdict(list)
    for row in rows:
        groups[tuple(row[name] for name in names)].append(row)
    yield from ((dict(zip(names, key, strict=True)), members) for key, members in groups.items())


def total(rows: Iterable[Row], name: str) -> Any:
    """The sum of what is known, or None where nothing is."""
    known = [row[name] for row in rows if row[name] is not None]
    return sum(known) if known else None


def highest(rows: Iterable[Row], name: str) -> Any:
    return max((row[name] for row in rows if row[name] is not None), default=None)


class LogOracle:
    """What the tables of one club must say of its players, setups, lines and weeks."""

    def __init__(self, settings: Settings, batches: tuple[Batch, ...]) -> None:
        self.settings = settings
        self.batches = batches

    def _in_force(self, kind: str) -> list[Row]:
        latest: dict[tuple[Any, ...], Row] = {}
        for batch in self.batches:
            if batch.kind == kind and not batch.is_withdrawn:
                own = {"is_own": batch.is_own and not batch.is_accepted}
                latest |= {tuple(line[name] for name in RECORDS[kind].identity): line | own for line in batch.lines}
        return list(latest.values())

    def _counting(self, kind: str) -> list[Row]:
        return [line for line in self._in_force(kind) if self.settings.counts_own_balls or not line["is_own"]]

    @cached_property
    def players(self) -> list[Row]:
        return [
            {
                **{name: line[name] for name in _OF_A_PLAYER},
                "player_id": line["player"],
                "name": line["name"] or line["player"],
                "group_name": line["group"],
                "is_active": line["active"] is not False,
            }
            for line in self._in_force("players")
        ]

    @cached_property
    def setups(self) -> list[Row]:
        lines = self._in_force("setups")
        return [
            {
                **{name: line[name] for name in _OF_A_SETUP},
                "setup_id": line["setup"],
                "feeder_id": line["feeder"],
                "name": line["name"] or line["setup"],
                "valid_to": min((m["valid_from"] for m in lines if _moves(line, m)), default=None),
                "handedness": hand,
                "depth": self._depth(line["x_cm"]),
                "side": self._side(line["y_cm"], hand),
                "distance_cm": dist((line["x_cm"], line["y_cm"]), DEEP_CENTRE_CM),
                "yaw_to_centre_deg": _yaw_to_centre_deg(line),
                "head_turn_deg": None if line["yaw_deg"] is None else _yaw_to_centre_deg(line) - line["yaw_deg"],
            }
            for line in lines
            for hand in ("right", "left")
        ]

    def _depth(self, x_cm: float) -> str:
        if x_cm < self.settings.back_below_cm:
            return "back"
        return "middle" if x_cm < self.settings.near_from_cm else "near"

    def _side(self, y_cm: float, hand: str) -> str:
        to_the_forehand = y_cm if hand == "right" else -y_cm
        if abs(y_cm) <= self.settings.centre_within_cm:
            return "centre"
        return "forehand" if to_the_forehand > 0 else "backhand"

    @cached_property
    def fed_lines(self) -> list[Row]:
        balls = self._counting("balls")
        one_by_one = {tuple(line[name] for name in FEED) for line in balls}
        counted = [line for line in self._counting("sessions") if tuple(line[n] for n in FEED) not in one_by_one]
        return [self._fed(line) for line in counted + balls]

    def _fed(self, line: Row) -> Row:
        day = line["session_date"]
        hand = self._hand_of(line["player"], day)
        standing = [s for s in self.setups if (s["setup_id"], s["handedness"]) == (line["setup"], hand)]
        place = max((s for s in standing if s["valid_from"] <= day), key=lambda s: s["valid_from"])
        same = ("coach", "block", "feed", "spin", "sidespin", "length", "placement", "height", "tempo_bpm", "stroke")
        tempo = self._tempo_band(line["tempo_bpm"])
        kind = (line["setup"], place["depth"], place["side"], *(line[name] for name in ("spin", "sidespin", "length")))
        return {
            **{name: line[name] for name in (*same, "probe", "minutes", "effort", "session_date", "is_own")},
            "condition": " | ".join(word or "-" for word in (*kind, line["placement"], line["height"], tempo)),
            **_counts(line),
            "session_id": f"{day}/{line['session']}",
            "week": day - timedelta(days=day.weekday()),
            "player_id": line["player"],
            "ball_or_0": line.get("ball", 0),
            "order_declared": line["order"],
            "handedness": hand,
            "setup_id": line["setup"],
            "setup_valid_from": place["valid_from"],
            "depth": place["depth"],
            "side": place["side"],
            "spin_family": FAMILY[line["spin"]],
            "tempo_band": tempo,
        }

    def _hand_of(self, code: str, day: date) -> str:
        player = next(player for player in self.players if player["player_id"] == code)
        is_before = player["hand_since"] is not None and day < player["hand_since"]
        return OTHER_HAND[player["handedness"]] if is_before else str(player["handedness"])

    def _tempo_band(self, tempo_bpm: float | None) -> str | None:
        if tempo_bpm is None:
            return None
        if tempo_bpm >= self.settings.fast_from_bpm:
            return "fast"
        return "medium" if tempo_bpm >= self.settings.slow_below_bpm else "slow"

    @cached_property
    def sessions(self) -> list[Row]:
        return [self._session(key, lines) for key, lines in grouped(self.fed_lines, "session_id", "player_id")]

    def _session(self, key: Row, lines: list[Row]) -> Row:
        blocks = [{"minutes": highest(members, "minutes")} for _, members in grouped(lines, "block")]
        return key | {
            "session_date": lines[0]["session_date"],
            "week": lines[0]["week"],
            "blocks": len(blocks),
            "balls": total(lines, "balls"),
            "good": total(lines, "good"),
            "minutes": total(blocks, "minutes"),
            "effort": highest(lines, "effort"),
        }

    @cached_property
    def weeks(self) -> list[Row]:
        mondays = [line["week"] for line in self.fed_lines]
        days = (max(mondays) - min(mondays)).days if mondays else -1
        return [self._week(min(mondays) + timedelta(days=day)) for day in range(0, days + 1, 7)]

    def _week(self, monday: date) -> Row:
        sunday = monday + timedelta(days=6)
        start = sunday - timedelta(days=self.settings.window_days - 1)
        return {"week": monday, "week_end": sunday, "window_start": start}

    @cached_property
    def player_weeks(self) -> list[Row]:
        return [
            week | {"player_id": player["player_id"]}
            for player in self.players
            for week in self.weeks
            if (starts_on := self._starts_on(player)) is None or starts_on <= week["week_end"]
        ]

    def _starts_on(self, player: Row) -> date | None:
        logged = [line["session_date"] for line in self.fed_lines if line["player_id"] == player["player_id"]]
        return min([day for day in (player["joined_on"], *logged) if day], default=None)

    @cached_property
    def refusals(self) -> list[Row]:
        return [
            {name: row[name] for name in ("line", "fault", "column_name", "seen", "expected", "to_do", "cells")}
            | {"batch": batch.number, "file_name": batch.file_name, "kind": batch.kind}
            | {"line_name": f"{batch.file_sha256[:12]}:{row['line']}"}
            | {"day": (day := _day_of_refusal(batch, row)), "week": day - timedelta(days=day.weekday())}
            | {"is_mended": self._is_mended(batch, row)}
            for batch in self.batches
            for row in batch.refused
            if not batch.is_withdrawn
        ]

    def _is_mended(self, batch: Batch, refused: Row) -> bool:
        return refused["column_name"] == "left_out_because" or any(
            row["mends"] == f"{batch.file_sha256[:12]}:{refused['line']}"
            or (other.number > batch.number and _takes_its_place(batch, refused, other, row))
            for other in self.batches
            if not other.is_withdrawn
            for row in _entries(other)
        )


def _takes_its_place(batch: Batch, refused: Row, later: Batch, row: Row) -> bool:
    return row["mends"] == f"{batch.number}:{refused['line']}" or (
        later.file_name == batch.file_name
        and row["line"] == refused["line"]
        and len({row.get("session_date"), refused["session_date"]} - {None}) < 2
    )


def _yaw_to_centre_deg(line: Row) -> float:
    x_cm, y_cm = DEEP_CENTRE_CM
    return degrees(atan2(y_cm - line["y_cm"], x_cm - line["x_cm"]))


def _moves(line: Row, later: Row) -> bool:
    return later["setup"] == line["setup"] and later["valid_from"] > line["valid_from"]


def _counts(line: Row) -> Row:
    if "outcome" in line:
        return {"balls": 1} | {name: int(line["outcome"] == name) for name in ("good", *MISTAKES)}
    names_any = any(line[name] is not None for name in MISTAKES)
    named = {name: (line[name] or 0) if names_any else None for name in MISTAKES}
    return {"balls": line["balls"], "good": line["good"], **named}


def _outcome_balls(line: Row) -> list[int]:
    """The balls of each outcome, in the order of OUTCOMES."""
    named = [line["good"], *(line[name] or 0 for name in MISTAKES)]
    return [*named, line["balls"] - sum(named)]


def _entries(batch: Batch) -> list[Row]:
    return [*batch.lines, *(row for row in batch.refused if row["fault"] == 1)]


def _day_of_refusal(batch: Batch, refused: Row) -> date:
    loaded_on = batch.loaded_at.date()
    days = [row.get("session_date") for row in _entries(batch)]
    possible = [day for day in days if day and day <= loaded_on + timedelta(days=1)]
    own = refused["session_date"]
    return own if own and own <= loaded_on + timedelta(days=1) else max(possible, default=loaded_on)
