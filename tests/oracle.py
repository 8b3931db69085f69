"""The published tables once more, slowly and plainly: no SQL, no data frames. Its purpose is to disagree with `sql/`."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import combinations, groupby, product
from math import exp, log, log2, prod, sqrt
from statistics import NormalDist, fmean
from typing import Any

from models.records import RECORDS
from models.settings import Settings
from models.words import COVERAGE_DIMENSIONS, SPIN

Row = dict[str, Any]

DIMENSIONS = tuple(words.name for words in COVERAGE_DIMENSIONS)
MISTAKES = ("net", "long", "wide", "missed")
OUTCOMES = ("good", *MISTAKES, "not_good")
FEED = ("session_date", "session", "player", "block", "feed")
CUTS = ("setup_id", *DIMENSIONS, "stroke")
CONDITION = ("setup_id", "spin", "sidespin", "length", "placement", "height", "tempo_band")
FAMILY = {word.name: word.family for word in SPIN.words}
PLACE = {
    words.name: {name: at / (len(words.names) - 1) for at, name in enumerate(words.names)}
    for words in COVERAGE_DIMENSIONS
}


@dataclass(frozen=True)
class Batch:
    """A loaded file: whole lines of the log and refusals, each with `line` and `mends`."""

    number: int
    kind: str
    lines: tuple[Row, ...]
    refused: tuple[Row, ...]
    file_name: str
    loaded_at: datetime
    is_withdrawn: bool


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


def entropy(shares: Iterable[float], logarithm: Callable[[float], float] = log) -> float:
    return -sum(share * logarithm(share) for share in shares if share > 0)


def shares_of(counts: Counter[Any]) -> list[float]:
    return [count / counts.total() for count in counts.values()]


def wilson(good: int, balls: int) -> tuple[float, float]:
    """The two rates x at which (rate - x)^2 = z^2 x (1 - x) / balls."""
    z2n = NormalDist().inv_cdf(0.975) ** 2 / balls
    rate = good / balls
    a, b, c = 1 + z2n, -(2 * rate + z2n), rate * rate
    root = sqrt(b * b - 4 * a * c)
    return (-b - root) / (2 * a), (-b + root) / (2 * a)


class Oracle:
    """What the tables of one club must say."""

    def __init__(self, settings: Settings, batches: tuple[Batch, ...]) -> None:
        self.settings = settings
        self.batches = batches

    def tables(self) -> dict[str, list[Row]]:
        core = ("players", "setups", "fed_lines", "ball_outcomes", "sessions", "weeks", "player_weeks", "refusals")
        grids = ("target_shares", "player_targets", "grid_cells", "target_cells", "cell_values", "cell_pairs")
        met = ("cell_weeks", "cut_weeks", "cell_likeness")
        reports = ("variety", "coverage", "success", "errors", "load", "schedule", "club_week")
        names = [f"core.{name}" for name in core + grids + met] + [f"report.{name}" for name in reports]
        return {name: self._with_club(getattr(self, name.split(".")[1])) for name in names}

    def _with_club(self, rows: list[Row]) -> list[Row]:
        return [{"club_id": self.settings.club_id} | row for row in rows]

    def _in_force(self, kind: str) -> list[Row]:
        latest: dict[tuple[Any, ...], Row] = {}
        for batch in self.batches:
            if batch.kind == kind and not batch.is_withdrawn:
                latest |= {tuple(line[name] for name in RECORDS[kind].identity): line for line in batch.lines}
        return list(latest.values())

    @cached_property
    def players(self) -> list[Row]:
        return [
            {
                **{name: line[name] for name in ("handedness", "birth_year", "level", "joined_on")},
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
                **{name: value for name, value in line.items() if name not in ("setup", "note", "line", "mends")},
                "setup_id": line["setup"],
                "name": line["name"] or line["setup"],
                "valid_to": min((m["valid_from"] for m in lines if _moves(line, m)), default=None),
                "handedness": hand,
                "depth": self._depth(line["x_cm"]),
                "side": self._side(line["y_cm"], hand),
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
        balls = self._in_force("balls")
        one_by_one = {tuple(line[name] for name in FEED) for line in balls}
        counted = [line for line in self._in_force("sessions") if tuple(line[n] for n in FEED) not in one_by_one]
        return [self._fed(line) for line in counted + balls]

    def _fed(self, line: Row) -> Row:
        day = line["session_date"]
        hand = next(player["handedness"] for player in self.players if player["player_id"] == line["player"])
        standing = [s for s in self.setups if (s["setup_id"], s["handedness"]) == (line["setup"], hand)]
        place = max((s for s in standing if s["valid_from"] <= day), key=lambda s: s["valid_from"])
        same = ("coach", "block", "feed", "spin", "sidespin", "length", "placement", "height", "tempo_bpm", "stroke")
        return {
            **{name: line[name] for name in (*same, "minutes", "effort", "session_date")},
            **_counts(line),
            "session_id": f"{day}/{line['session']}",
            "week": day - timedelta(days=day.weekday()),
            "player_id": line["player"],
            "ball_or_0": line.get("ball", 0),
            "order_declared": line["order"],
            "setup_id": line["setup"],
            "depth": place["depth"],
            "side": place["side"],
            "spin_family": FAMILY[line["spin"]],
            "tempo_band": self._tempo_band(line["tempo_bpm"]),
        }

    def _tempo_band(self, tempo_bpm: float | None) -> str | None:
        if tempo_bpm is None:
            return None
        if tempo_bpm >= self.settings.fast_from_bpm:
            return "fast"
        return "medium" if tempo_bpm >= self.settings.slow_below_bpm else "slow"

    @cached_property
    def ball_outcomes(self) -> list[Row]:
        left_out = ("coach", "order_declared", "minutes", "effort", "balls", "good", *MISTAKES)
        return [
            {name: value for name, value in line.items() if name not in left_out}
            | {"ball": line["ball_or_0"] or None, "outcome": outcome, "balls": balls}
            for line in self.fed_lines
            for outcome, balls in zip(OUTCOMES, _outcome_balls(line), strict=True)
            if balls
        ]

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

    # Targets and grids

    @cached_property
    def target_shares(self) -> list[Row]:
        wanted = [line for line in self._in_force("targets") if line["share"] > 0]
        return [
            {name: line[name] for name in ("target", "applies_to", "dimension", "value")}
            | {"share": line["share"] / total(members, "share")}
            for _, members in grouped(wanted, "target", "applies_to", "dimension")
            for line in members
        ]

    @cached_property
    def player_targets(self) -> list[Row]:
        targets = {share["applies_to"]: share["target"] for share in self.target_shares}
        receivers = [(player["player_id"], player["group_name"], "*") for player in self.players]
        return [
            {"player_id": found[0], "target": targets[receiver], "applies_to": receiver}
            for found in receivers
            if (receiver := next((name for name in found if name in targets), None))
        ]

    @cached_property
    def grid_cells(self) -> list[Row]:
        return [
            cell
            for key, shares in grouped(self.target_shares, "target", "applies_to")
            for cell in _grid(key, shares)
        ]

    @cached_property
    def target_cells(self) -> list[Row]:
        return [
            cell | {"player_id": chosen["player_id"]}
            for chosen in self.player_targets
            for cell in self.grid_cells
            if (cell["target"], cell["applies_to"]) == (chosen["target"], chosen["applies_to"])
        ]

    @cached_property
    def cell_values(self) -> list[Row]:
        return [
            _cell_key(cell) | {"dimension": name, "value": cell[name], "position": PLACE[name][cell[name]]}
            for cell in self.grid_cells
            for name in _named(cell)
        ]

    @cached_property
    def cell_pairs(self) -> list[Row]:
        return [
            _cell_key(cell) | {"dimension": one, "other_dimension": other, "pair": _pair(cell, one, other)}
            for cell in self.grid_cells
            for one, other in combinations(sorted(_named(cell)), 2)
        ]

    @cached_property
    def _met(self) -> list[Row]:
        """The lines again, each with the wanted combination that it is."""
        return [
            line | {"cell": cell["cell"], "grid_cell": cell}
            for line in self.fed_lines
            for cell in self.target_cells
            if cell["player_id"] == line["player_id"] and all(cell[name] == line[name] for name in _named(cell))
        ]

    @cached_property
    def cell_weeks(self) -> list[Row]:
        return [
            key
            | {"balls": total(lines, "balls"), "good": total(lines, "good")}
            | {"last_met_on": highest(lines, "session_date")}
            for key, lines in grouped(self._met, "player_id", "week", "cell")
        ]

    @cached_property
    def cell_likeness(self) -> list[Row]:
        window = timedelta(days=self.settings.window_days)
        alike = {
            (*_cell_key(a["grid_cell"]).values(), b["cell"]): self._likeness(a["grid_cell"], b["grid_cell"])
            for a, b in product(self._met, self._met)
            if a["player_id"] == b["player_id"] and abs(a["week"] - b["week"]) < window
        }
        names = ("target", "applies_to", "cell", "other_cell")
        return [dict(zip(names, key, strict=True)) | {"likeness": value} for key, value in alike.items()]

    def _likeness(self, a: Row, b: Row) -> float:
        gaps = [abs(PLACE[name][a[name]] - PLACE[name][b[name]]) for name in _named(a)]
        return prod(exp(-self.settings.likeness_decay * gap) for gap in gaps)

    @cached_property
    def cut_weeks(self) -> list[Row]:
        cut_lines = [line | cut for line in self.fed_lines for cut in _cuts(line)]
        return [
            key | {"balls": total(lines, "balls"), "good": total(lines, "good")}
            for key, lines in grouped(cut_lines, "player_id", "week", "cut", "value")
        ]

    # Refusals

    @cached_property
    def refusals(self) -> list[Row]:
        return [
            {name: row[name] for name in ("line", "fault", "column_name", "seen", "expected", "to_do", "cells")}
            | {"batch": batch.number, "file_name": batch.file_name, "kind": batch.kind}
            | {"week": _week_of_refusal(batch, row), "is_mended": self._is_mended(batch, row)}
            for batch in self.batches
            for row in batch.refused
            if not batch.is_withdrawn
        ]

    def _is_mended(self, batch: Batch, refused: Row) -> bool:
        return any(
            row["mends"] == f"{batch.number}:{refused['line']}"
            or (
                later.file_name == batch.file_name
                and row["line"] == refused["line"]
                and len({row.get("session_date"), refused["session_date"]} - {None}) < 2
            )
            for later in self.batches
            if later.number > batch.number and not later.is_withdrawn
            for row in _entries(later)
        )

    # Reports

    def _recent(self, rows: list[Row], at: Row) -> list[Row]:
        """What a player did in the window of a week."""
        return [
            row
            for row in rows
            if row["player_id"] == at["player_id"] and at["window_start"] <= row["session_date"] <= at["week_end"]
        ]

    def _per_player_week(self, make: Callable[[Row], Iterable[Row]]) -> list[Row]:
        return [
            {"week": at["week"], "player_id": at["player_id"]} | row for at in self.player_weeks for row in make(at)
        ]

    def _grid_of(self, player_id: str) -> list[Row]:
        return [cell for cell in self.target_cells if cell["player_id"] == player_id]

    @cached_property
    def variety(self) -> list[Row]:
        return self._per_player_week(lambda at: [self._variety(at)])

    def _variety(self, at: Row) -> Row:
        grid, met = self._grid_of(at["player_id"]), self._recent(self._met, at)
        counts = Counter[str]()
        for line in met:
            counts[line["cell"]] += line["balls"]
        return {
            "balls": total(self._recent(self.fed_lines, at), "balls") or 0,
            "sessions": len(self._recent(self.sessions, at)),
            "balls_in_grid": counts.total(),
            **self._covered(grid, counts),
            **self._pairs_covered(grid, met),
            **(self._mix(grid, met, counts) if counts else dict.fromkeys(MIX)),
        }

    def _covered(self, grid: list[Row], counts: Counter[str]) -> Row:
        if not grid:
            return dict.fromkeys(("cells", "cells_met", "cells_covered", "grid_coverage"))
        covered = sum(balls >= self.settings.covered_balls for balls in counts.values())
        return {
            "cells": len(grid),
            "cells_met": len(counts),
            "cells_covered": covered,
            "grid_coverage": covered / len(grid),
        }

    def _pairs_covered(self, grid: list[Row], met: list[Row]) -> Row:
        wanted = {_pair(cell, *two) for cell in grid for two in combinations(_named(cell), 2)}
        if not wanted:
            return dict.fromkeys(("pairs", "pairs_covered", "pair_coverage"))
        counts = Counter[str]()
        for line in met:
            for two in combinations(_named(line["grid_cell"]), 2):
                counts[_pair(line["grid_cell"], *two)] += line["balls"]
        covered = sum(balls >= self.settings.covered_balls for balls in counts.values())
        return {"pairs": len(wanted), "pairs_covered": covered, "pair_coverage": covered / len(wanted)}

    def _mix(self, grid: list[Row], met: list[Row], counts: Counter[str]) -> Row:
        seen = {cell["cell"]: counts[cell["cell"]] / counts.total() for cell in grid}
        between = {cell["cell"]: (seen[cell["cell"]] + cell["wanted_share"]) / 2 for cell in grid}
        joint = entropy(seen.values())
        return {
            "effective_conditions": exp(joint),
            "evenness": joint / log(len(grid)) if len(grid) > 1 else None,
            "distinct_conditions": exp(-sum(p * log(self._ordinariness(grid, seen, cell)) for cell, p in seen.items() if p)),
            "plan_distance": entropy(between.values(), log2)
            - (entropy(seen.values(), log2) + entropy((cell["wanted_share"] for cell in grid), log2)) / 2,
            "total_correlation": sum(entropy(_marginal(met, name)) for name in _named(grid[0])) - joint,
        }

    def _ordinariness(self, grid: list[Row], seen: dict[str, float], label: str) -> float:
        own = next(cell for cell in grid if cell["cell"] == label)
        return sum(self._likeness(own, other) * seen[other["cell"]] for other in grid)

    @cached_property
    def coverage(self) -> list[Row]:
        return self._per_player_week(lambda at: [self._cover(at, cell) for cell in self._grid_of(at["player_id"])])

    def _cover(self, at: Row, cell: Row) -> Row:
        ever = [line for line in self._met if line["grid_cell"] is cell and line["session_date"] <= at["week_end"]]
        lines = self._recent(ever, at)
        balls = total(lines, "balls") or 0
        needed = self.settings.covered_balls
        status = "covered" if balls >= needed else "touched" if balls else "stale" if ever else "empty"
        return {
            **{name: cell[name] for name in ("cell", *DIMENSIONS, "wanted_share")},
            "balls": balls,
            "good": total(lines, "good") or 0,
            "last_met_on": highest(ever, "session_date"),
            "need_balls": max(needed - balls, 0),
            "status": status,
        }

    @cached_property
    def success(self) -> list[Row]:
        return self._per_player_week(self._successes)

    def _successes(self, at: Row) -> Iterator[Row]:
        cut_lines = [line | cut for line in self._recent(self.fed_lines, at) for cut in _cuts(line)]
        for key, lines in grouped(cut_lines, "cut", "value"):
            balls, good = total(lines, "balls"), total(lines, "good")
            enough = balls >= self.settings.rate_balls
            low, high = wilson(good, balls) if enough else (None, None)
            yield key | {
                "balls": balls,
                "good": good,
                "rate": good / balls if enough else None,
                "low": low,
                "high": high,
            }

    @cached_property
    def errors(self) -> list[Row]:
        return self._per_player_week(self._errors)

    def _errors(self, at: Row) -> Iterator[Row]:
        noted = [line for line in self._recent(self.fed_lines, at) if line["net"] is not None]
        for key, lines in grouped(noted, "spin"):
            fed = total(lines, "balls")
            for name in MISTAKES:
                balls = total(lines, name)
                yield key | {"outcome": name, "balls": balls, "noted_balls": fed, "share": balls / fed}

    @cached_property
    def load(self) -> list[Row]:
        return self._per_player_week(lambda at: [self._load(at)])

    def _load(self, at: Row) -> Row:
        def minutes_of(monday: date) -> Any:
            return total([s for s in mine if s["week"] == monday], "minutes")

        mine = [session for session in self.sessions if session["player_id"] == at["player_id"]]
        now = [session for session in mine if session["week"] == at["week"]]
        before = [minutes_of(at["week"] - timedelta(days=7 * weeks)) for weeks in (1, 2, 3, 4)]
        noted = [minutes for minutes in before if minutes is not None]
        minutes = total(now, "minutes")
        can_compare = minutes is not None and sum(noted) > 0
        efforts = [s["effort"] * s["minutes"] for s in now if None not in (s["effort"], s["minutes"])]
        return {
            "sessions": len(now),
            "minutes": minutes,
            "balls": total(now, "balls"),
            "effort_load": sum(efforts) if efforts else None,
            "weeks_compared": len(noted),
            "week_change": minutes / fmean(noted) if can_compare else None,
        }

    @cached_property
    def schedule(self) -> list[Row]:
        one_by_one = [line for line in self.fed_lines if line["ball_or_0"]]
        return [_schedule(key, lines) for key, lines in grouped(one_by_one, "session_id", "player_id")]

    @cached_property
    def club_week(self) -> list[Row]:
        mondays = {week["week"] for week in self.weeks}
        waiting = [row for row in self.refusals if row["fault"] == 1 and not row["is_mended"]]
        return [self._club_week(monday, waiting) for monday in mondays | {row["week"] for row in waiting}]

    def _club_week(self, monday: date, waiting: list[Row]) -> Row:
        active = {player["player_id"] for player in self.players if player["is_active"]}
        logged = [session for session in self.sessions if session["week"] == monday]
        there = [row for row in self.variety if row["week"] == monday and row["player_id"] in active]
        trained = {session["player_id"] for session in logged}
        short = [row for row in there if (row["grid_coverage"] or 0) < self.settings.variety_short_share and row["cells"]]
        return {
            "week": monday,
            "sessions": len({session["session_id"] for session in logged}),
            "players": len(trained),
            "balls": total(logged, "balls") or 0,
            "minutes": total(logged, "minutes"),
            "lines_refused": sum(row["week"] == monday for row in waiting),
            "players_active": len(there),
            "players_with_log": sum(row["player_id"] in trained for row in there),
            "players_short_of_variety": len(short),
        }


MIX = ("effective_conditions", "evenness", "distinct_conditions", "plan_distance", "total_correlation")


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


def _named(cell: Row) -> list[str]:
    return [name for name in DIMENSIONS if cell[name] is not None]


def _cell_key(cell: Row) -> Row:
    return {name: cell[name] for name in ("target", "applies_to", "cell")}


def _pair(cell: Row, one: str, other: str) -> str:
    first, second = sorted((one, other))
    return f"{first} {cell[first]} with {second} {cell[second]}"


def _grid(key: Row, shares: list[Row]) -> list[Row]:
    by_dimension = [[s for s in shares if s["dimension"] == name] for name in DIMENSIONS]
    chosen = [choice for choice in product(*filter(None, by_dimension)) if _can_be(choice)]
    whole = sum(prod(share["share"] for share in choice) for choice in chosen)
    return [
        {
            **key,
            **dict.fromkeys(DIMENSIONS),
            **{share["dimension"]: share["value"] for share in choice},
            "cell": " | ".join(share["value"] for share in choice),
            "wanted_share": prod(share["share"] for share in choice) / whole,
            "cells": len(chosen),
        }
        for choice in chosen
    ]


def _can_be(choice: tuple[Row, ...]) -> bool:
    value = {share["dimension"]: share["value"] for share in choice}
    return not {"spin", "spin_family"} <= set(value) or FAMILY[value["spin"]] == value["spin_family"]


def _cuts(line: Row) -> Iterator[Row]:
    yield {"cut": "all", "value": "all"}
    for name in CUTS:
        if line[name] is not None:
            yield {"cut": "setup" if name == "setup_id" else name, "value": line[name]}


def _entries(batch: Batch) -> list[Row]:
    return [*batch.lines, *(row for row in batch.refused if row["fault"] == 1)]


def _week_of_refusal(batch: Batch, refused: Row) -> date:
    loaded_on = batch.loaded_at.date()
    days = [row.get("session_date") for row in _entries(batch)]
    possible = [day for day in days if day and day <= loaded_on + timedelta(days=1)]
    own = refused["session_date"]
    day = own if own and own <= loaded_on + timedelta(days=1) else max(possible, default=loaded_on)
    return day - timedelta(days=day.weekday())


def _marginal(met: list[Row], name: str) -> list[float]:
    counts = Counter[str]()
    for line in met:
        counts[line[name]] += line["balls"]
    return shares_of(counts)


def _schedule(key: Row, lines: list[Row]) -> Row:
    ordered = sorted(lines, key=lambda line: (line["block"], line["ball_or_0"], line["feed"]))
    in_blocks = [[_condition(line) for line in block] for _, block in groupby(ordered, key=lambda line: line["block"])]
    steps = [step for block in in_blocks for step in zip(block, block[1:], strict=False)]
    switches = sum(before != after for before, after in steps)
    # After a shuffle each of the n - 1 steps of a block is any ordered pair of its balls.
    expected = sum(sum(a != b for a, b in product(block, block)) / len(block) for block in in_blocks)
    mix = Counter(condition for block in in_blocks for condition in block)
    guess = entropy(shares_of(Counter(steps)), log2) - entropy(shares_of(Counter(a for a, _ in steps)), log2)
    relative = switches / expected if expected > 0 and steps else None
    return key | {
        "balls": len(lines),
        "conditions": len(mix),
        "switch_rate": switches / len(steps) if steps else None,
        "relative_switch_rate": relative,
        "conditional_entropy": guess if steps else None,
        "order_seen": _order(mix, relative or 0, guess) if steps and len(mix) > 1 and len(lines) >= 12 else None,
    }


def _condition(line: Row) -> tuple[Any, ...]:
    return tuple(line[name] for name in CONDITION)


def _order(mix: Counter[Any], relative: float, guess: float) -> str:
    if relative < 0.5:
        return "blocked"
    return "serial" if guess / entropy(shares_of(mix), log2) < 0.25 else "random"
