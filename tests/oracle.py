"""The published tables once more, slowly and plainly: no SQL, no frames. Its purpose is to disagree with `sql/`."""

from functools import cached_property
from itertools import combinations
from typing import Any

from models.words import COVERAGE_DIMENSIONS
from tests.oracle_grids import named
from tests.oracle_log import Row, grouped, highest, total
from tests.oracle_reports import ReportOracle

CORE = (
    *("players", "setups", "fed_lines", "block_feeds", "sessions", "weeks", "player_weeks", "refusals"),
    *("target_shares", "player_targets", "grid_cells", "target_cells", "cell_values", "cell_pairs"),
    *("cell_weeks", "cut_weeks", "cell_likeness", "grid_maxima", "player_conditions", "block_conditions"),
    *("block_cells", "cut_sessions", "success_windows", "mistake_sessions", "mistake_windows", "block_steps"),
    *("block_changes", "probe_sittings", "value_weeks"),
)
REPORTS = (
    *("variety", "coverage", "load", "schedule", "club_week", "session_success", "standing"),
    *("coverage_by_value", "coverage_by_pair", "own_balls"),
)


class Oracle(ReportOracle):
    """What every table of one club must say."""

    def tables(self) -> dict[str, list[Row]]:
        names = [f"core.{name}" for name in CORE] + [f"report.{name}" for name in REPORTS]
        return {name: self._with_club(getattr(self, name.split(".")[1])) for name in names}

    def _with_club(self, rows: list[Row]) -> list[Row]:
        return [{"club_id": self.settings.club_id} | row for row in rows]

    def _rate(self, good: int, balls: int) -> float | None:
        return good / balls if balls >= self.settings.rate_balls else None

    @cached_property
    def session_success(self) -> list[Row]:
        names = ("session_id", "player_id", "session_date", "week", "balls", "good")
        return [
            {name: session[name] for name in names} | {"rate": self._rate(session["good"], session["balls"])}
            for session in self.sessions
        ]

    @cached_property
    def own_balls(self) -> list[Row]:
        return self._per_player_week(lambda at: [self._own_balls(self._recent(self.fed_lines, at))])

    def _own_balls(self, lines: list[Row]) -> Row:
        own = [line for line in lines if line["is_own"]]
        return {"balls": total(lines, "balls") or 0, "own_balls": total(own, "balls") or 0}

    @cached_property
    def standing(self) -> list[Row]:
        return self._per_player_week(lambda at: [self._standing(at)])

    def _standing(self, at: Row) -> Row:
        mine = [s for s in self.sessions if s["player_id"] == at["player_id"] and s["session_date"] <= at["week_end"]]
        balls = total(self._recent(mine, at), "balls") or 0
        last = highest(mine, "session_date")
        until = min(at["week_end"], highest(self.sessions, "session_date"))
        return {
            "balls": balls,
            "last_logged_on": last,
            "days_since_log": (until - last).days if last else None,
            "standing": self._why(at, last, balls),
        }

    def _why(self, at: Row, last: Any, balls: int) -> str:
        if last is None:
            return "no_log"
        if balls == 0:
            return "no_recent_log"
        if balls < self.settings.rate_balls:
            return "few_balls"
        return "judged" if self._grid_of(at["player_id"]) else "no_target"

    @cached_property
    def coverage_by_value(self) -> list[Row]:
        values = [cell | {"dimension": name, "value": cell[name]} for cell in self.coverage for name in named(cell)]
        groups = grouped(values, "week", "player_id", "dimension", "value")
        return [key | _cover_of_value(cells, self._met_anyhow_on(key)) for key, cells in groups]

    def _met_anyhow_on(self, value: Row) -> Any:
        """The last day up to the week on which the player met a ball of this value."""
        met = [
            line
            for line in self.fed_lines
            if line["player_id"] == value["player_id"]
            and line["week"] <= value["week"]
            and line[value["dimension"]] == value["value"]
        ]
        return highest(met, "session_date")

    @cached_property
    def value_weeks(self) -> list[Row]:
        dimensions = [words.name for words in COVERAGE_DIMENSIONS]
        words = [
            line | {"dimension": name, "value": line[name]}
            for line in self.fed_lines
            for name in dimensions
            if line[name]
        ]
        return [
            key | {"balls": total(lines, "balls"), "last_met_on": highest(lines, "session_date")}
            for key, lines in grouped(words, "player_id", "week", "dimension", "value")
        ]

    @cached_property
    def coverage_by_pair(self) -> list[Row]:
        pairs = [
            cell | {"dimension": one, "value": cell[one], "other_dimension": other, "other_value": cell[other]}
            for cell in self.coverage
            for one, other in combinations(sorted(named(cell)), 2)
        ]
        groups = grouped(pairs, "week", "player_id", "dimension", "value", "other_dimension", "other_value")
        return [
            key | {"balls": balls, "is_covered": balls >= self.settings.covered_balls}
            for key, cells in groups
            for balls in [total(cells, "balls")]
        ]


def _cover_of_value(cells: list[Row], met_anyhow_on: Any) -> Row:
    covered = sum(cell["status"] == "covered" for cell in cells)
    balls, last = total(cells, "balls"), highest(cells, "last_met_on")
    part = "touched" if balls else "stale" if last else "off_plan" if met_anyhow_on else "empty"
    return {
        "cells": len(cells),
        "cells_covered": covered,
        "share_covered": covered / len(cells),
        "balls": balls,
        "last_met_on": last,
        "met_anyhow_on": met_anyhow_on,
        "status": "covered" if covered == len(cells) else part,
    }
