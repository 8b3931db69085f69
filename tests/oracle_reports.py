"""What the reports say that are made of the lines themselves, slowly and plainly."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from functools import cached_property
from itertools import combinations, groupby, pairwise, product
from math import exp, log, log2
from statistics import fmean
from typing import Any

from tests.oracle_grids import DIMENSIONS, GridOracle, named, pair, squares
from tests.oracle_log import MISTAKES, Row, grouped, highest, total

MIX = (
    *("effective_conditions", "dominant_conditions", "evenness", "distinct_conditions", "share_to_move"),
    *("plan_distance", "total_correlation"),
)


def entropy(shares: Iterable[float], logarithm: Callable[[float], float] = log) -> float:
    return -sum(share * logarithm(share) for share in shares if share > 0)


def shares_of(counts: Counter[Any]) -> list[float]:
    return [count / counts.total() for count in counts.values()]


def _changes(balls: list[Row]) -> Row:
    first = [ball["good"] for ball in balls if ball["condition"] != ball["condition_before"]]
    repeat = [ball["good"] for ball in balls if ball["condition"] == ball["condition_before"]]
    return {
        "first_balls": len(first),
        "first_good": sum(first),
        "repeat_balls": len(repeat),
        "repeat_good": sum(repeat),
    }


def _sittings(key: Row, lines: list[Row]) -> Iterator[Row]:
    sessions = sorted(grouped(lines, "session_date", "session_id"), key=lambda found: tuple(found[0].values()))
    first = {line["condition"] for line in sessions[0][1]}
    for place, (session, own) in enumerate(sessions, start=1):
        kinds = {line["condition"] for line in own}
        blocks = [total(block, "balls") for _, block in grouped(own, "block")]
        yield (
            key
            | session
            | {
                "balls": sum(blocks),
                "squared_block_balls": sum(balls**2 for balls in blocks),
                "sitting": place,
                "days_since_first": (session["session_date"] - sessions[0][0]["session_date"]).days,
                "good": total(own, "good"),
                "conditions": len(kinds),
                "first_conditions": len(kinds & first),
            }
        )


class ReportOracle(GridOracle):
    """What the reports of one club must say that are made of lines."""

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
        grid, met = self._grid_of(at["player_id"]), self._recent(self.met_lines, at)
        counts = Counter[str]()
        for line in met:
            counts[line["cell"]] += line["balls"]
        return {
            "balls": total(self._recent(self.fed_lines, at), "balls") or 0,
            "sessions": len(self._recent(self.sessions, at)),
            "balls_in_grid": counts.total(),
            **self._covered(grid, counts),
            **self._pairs_covered(grid, met),
            **self._most_distinct_of(at["player_id"]),
            **(self._mix(grid, met, counts) if self._is_enough(grid, counts) else dict.fromkeys(MIX)),
        }

    def _most_distinct_of(self, player_id: str) -> Row:
        mine = next((own for own in self.player_targets if own["player_id"] == player_id), {})
        return next(
            (
                {"most_distinct_conditions": row["most_distinct_conditions"]}
                for row in self.grid_maxima
                if (row["target"], row["applies_to"]) == (mine.get("target"), mine.get("applies_to"))
            ),
            {"most_distinct_conditions": None},
        )

    def _is_enough(self, grid: list[Row], counts: Counter[str]) -> bool:
        return bool(counts) and counts.total() >= self.settings.spread_balls * len(grid)

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
        wanted = {pair(cell, *two) for cell in grid for two in combinations(named(cell), 2)}
        if not wanted:
            return dict.fromkeys(("pairs", "pairs_covered", "pair_coverage"))
        counts = Counter[str]()
        for line in met:
            for two in combinations(named(line["grid_cell"]), 2):
                counts[pair(line["grid_cell"], *two)] += line["balls"]
        covered = sum(balls >= self.settings.covered_balls for balls in counts.values())
        return {"pairs": len(wanted), "pairs_covered": covered, "pair_coverage": covered / len(wanted)}

    def _mix(self, grid: list[Row], met: list[Row], counts: Counter[str]) -> Row:
        seen = {cell["cell"]: counts[cell["cell"]] / counts.total() for cell in grid}
        between = {cell["cell"]: (seen[cell["cell"]] + cell["wanted_share"]) / 2 for cell in grid}
        joint = entropy(seen.values())
        return {
            "effective_conditions": exp(joint),
            "dominant_conditions": 1 / sum(share**2 for share in seen.values()),
            "share_to_move": sum(max(seen[cell["cell"]] - cell["wanted_share"], 0) for cell in grid),
            "evenness": joint / log(len(grid)) if len(grid) > 1 else None,
            "distinct_conditions": exp(
                -sum(p * log(self._ordinariness(grid, seen, cell)) for cell, p in seen.items() if p)
            ),
            "plan_distance": entropy(between.values(), log2)
            - (entropy(seen.values(), log2) + entropy((cell["wanted_share"] for cell in grid), log2)) / 2,
            "total_correlation": sum(entropy(_marginal(met, name)) for name in named(grid[0])) - joint,
        }

    def _ordinariness(self, grid: list[Row], seen: dict[str, float], label: str) -> float:
        own = next(cell for cell in grid if cell["cell"] == label)
        return sum(self._likeness(own, other) * seen[other["cell"]] for other in grid)

    @cached_property
    def coverage(self) -> list[Row]:
        return self._per_player_week(lambda at: [self._cover(at, cell) for cell in self._grid_of(at["player_id"])])

    def _cover(self, at: Row, cell: Row) -> Row:
        ever = [line for line in self.met_lines if line["grid_cell"] is cell and line["session_date"] <= at["week_end"]]
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
    def success_windows(self) -> list[Row]:
        return self._per_player_week(self._successes)

    def _successes(self, at: Row) -> Iterator[Row]:
        cut_blocks = self._recent(self.cut_blocks, at)
        for key, blocks in grouped(cut_blocks, "cut", "value"):
            yield key | {"good": total(blocks, "good"), "balls": total(blocks, "balls")} | squares(blocks)

    @cached_property
    def mistake_sessions(self) -> list[Row]:
        noted = [line for line in self.fed_lines if line["net"] is not None]
        return [
            key | _outcomes(lines) | squares(lines)
            for key, lines in grouped(noted, "player_id", "session_id", "spin", "week")
        ]

    @cached_property
    def mistake_windows(self) -> list[Row]:
        return self._per_player_week(self._mistakes)

    def _mistakes(self, at: Row) -> Iterator[Row]:
        noted = [line for line in self._recent(self.fed_lines, at) if line["net"] is not None]
        for key, lines in grouped(noted, "spin"):
            yield key | _outcomes(lines) | squares(lines)

    @cached_property
    def ball_steps(self) -> list[Row]:
        one_by_one = [line for line in self.fed_lines if line["ball_or_0"]]
        names = ("session_id", "player_id", "block", "feed", "week", "condition", "good")
        return [
            {name: line[name] for name in names}
            | {"ball": line["ball_or_0"], "condition_before": before["condition"] if before else None}
            for _, lines in grouped(one_by_one, "session_id", "player_id")
            for block in blocks_in_order(lines)
            for before, line in pairwise([None, *block])
        ]

    @cached_property
    def block_steps(self) -> list[Row]:
        steps = [step | {"condition_before": step["condition_before"] or "-"} for step in self.ball_steps]
        keys = ("session_id", "player_id", "block", "week", "condition", "condition_before")
        return [key | {"balls": len(own), "good": total(own, "good")} for key, own in grouped(steps, *keys)]

    @cached_property
    def block_changes(self) -> list[Row]:
        cell_of = {(line["player_id"], line["condition"]): line["grid_cell"] for line in self.met_lines}
        balls = [
            step | {name: cell[name] for name in ("cell", "wanted_share")}
            for step in self.ball_steps
            if step["condition_before"] and (cell := cell_of.get((step["player_id"], step["condition"])))
        ]
        keys = ("player_id", "session_id", "block", "cell", "week", "wanted_share")
        return [key | _changes(own) for key, own in grouped(balls, *keys)]

    @cached_property
    def probe_sittings(self) -> list[Row]:
        lines = [line for line in self.fed_lines if line["probe"]]
        return [row for key, own in grouped(lines, "player_id", "probe") for row in _sittings(key, own)]

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
            "guidance_hours": self._guidance_hours(at),
        }

    def _guidance_hours(self, at: Row) -> int | None:
        born = next(player["birth_year"] for player in self.players if player["player_id"] == at["player_id"])
        age = at["week"].year - born if born else 99
        return min(age, 16) if age <= 18 else None

    @cached_property
    def schedule(self) -> list[Row]:
        one_by_one = [line for line in self.fed_lines if line["ball_or_0"]]
        return [self._schedule_of(key, lines) for key, lines in grouped(one_by_one, "session_id", "player_id")]

    def _schedule_of(self, key: Row, lines: list[Row]) -> Row:
        in_blocks = [[line["condition"] for line in block] for block in blocks_in_order(lines)]
        steps = [step for block in in_blocks for step in pairwise(block)]
        switches = sum(before != after for before, after in steps)
        # After a shuffle each of the n - 1 steps of a block is any ordered pair of its balls.
        expected = sum(sum(a != b for a, b in product(block, block)) / len(block) for block in in_blocks)
        mix = Counter(condition for block in in_blocks for condition in block)
        guess = entropy(shares_of(Counter(steps)), log2) - entropy(shares_of(Counter(a for a, _ in steps)), log2)
        relative = switches / expected if expected > 0 and steps else None
        is_told = len(lines) >= self.settings.entropy_balls * len(mix) ** 2
        is_enough = len(mix) > 1 and len(lines) >= self.settings.order_balls
        return key | {
            "balls": len(lines),
            "conditions": len(mix),
            "switch_rate": switches / len(steps) if steps else None,
            "relative_switch_rate": relative,
            "conditional_entropy": guess if steps and is_told else None,
            "order_seen": self._order(mix, relative or 0, guess) if steps and is_enough else None,
        }

    def _order(self, mix: Counter[Any], relative: float, guess: float) -> str | None:
        if relative < self.settings.blocked_below:
            return "blocked"
        if mix.total() < self.settings.order_balls_per_kind * len(mix):
            return None
        return "serial" if guess / entropy(shares_of(mix), log2) < self.settings.serial_below else "random"

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
        short = [
            row for row in there if (row["grid_coverage"] or 0) < self.settings.variety_short_share and row["cells"]
        ]
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


def _marginal(met: list[Row], name: str) -> list[float]:
    counts = Counter[str]()
    for line in met:
        counts[line[name]] += line["balls"]
    return shares_of(counts)


def blocks_in_order(lines: list[Row]) -> list[list[Row]]:
    ordered = sorted(lines, key=lambda line: (line["block"], line["ball_or_0"], line["feed"]))
    return [list(block) for _, block in groupby(ordered, key=lambda line: line["block"])]


def _outcomes(lines: list[Row]) -> Row:
    return {name: total(lines, name) for name in ("balls", "good", *MISTAKES)}
