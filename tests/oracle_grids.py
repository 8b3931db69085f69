"""What the targets ask for, and which balls are what they ask for, slowly and plainly."""

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cached_property
from itertools import combinations, product
from math import exp, prod

import numpy as np

from models.words import COVERAGE_DIMENSIONS
from tests.oracle_log import FAMILY, LogOracle, Row, grouped, highest, total

DIMENSIONS = tuple(words.name for words in COVERAGE_DIMENSIONS)
CUTS = ("setup_id", *DIMENSIONS, "stroke")
PLACE = {
    words.name: {name: at / (len(words.names) - 1) for at, name in enumerate(words.names)}
    for words in COVERAGE_DIMENSIONS
}


class GridOracle(LogOracle):
    """What the tables of one club must say of its targets and of the balls met."""

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
            cell for key, shares in grouped(self.target_shares, "target", "applies_to") for cell in _grid(key, shares)
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
            for name in named(cell)
        ]

    @cached_property
    def cell_pairs(self) -> list[Row]:
        return [
            _cell_key(cell) | {"dimension": one, "other_dimension": other, "pair": pair(cell, one, other)}
            for cell in self.grid_cells
            for one, other in combinations(sorted(named(cell)), 2)
        ]

    @cached_property
    def met_lines(self) -> list[Row]:
        """The lines again, each with the wanted combination that it is."""
        return [
            line | {"cell": cell["cell"], "grid_cell": cell}
            for line in self.fed_lines
            for cell in self.target_cells
            if cell["player_id"] == line["player_id"] and all(cell[name] == line[name] for name in named(cell))
        ]

    @cached_property
    def cell_weeks(self) -> list[Row]:
        return [
            key
            | {"balls": total(lines, "balls"), "good": total(lines, "good")}
            | {"last_met_on": highest(lines, "session_date")}
            for key, lines in grouped(self.met_lines, "player_id", "week", "cell")
        ]

    @cached_property
    def cell_likeness(self) -> list[Row]:
        window = timedelta(days=self.settings.window_days)
        alike = {
            (*_cell_key(a["grid_cell"]).values(), b["cell"]): self._likeness(a["grid_cell"], b["grid_cell"])
            for a, b in product(self.met_lines, self.met_lines)
            if a["player_id"] == b["player_id"] and abs(a["week"] - b["week"]) < window
        }
        names = ("target", "applies_to", "cell", "other_cell")
        return [dict(zip(names, key, strict=True)) | {"likeness": value} for key, value in alike.items()]

    def _likeness(self, a: Row, b: Row) -> float:
        gaps = [abs(PLACE[name][a[name]] - PLACE[name][b[name]]) for name in named(a)]
        return prod(exp(-self.settings.likeness_decay * gap) for gap in gaps)

    @cached_property
    def grid_maxima(self) -> list[Row]:
        return [
            key | {"most_distinct_conditions": self._most_distinct(cells)}
            for key, cells in grouped(self.grid_cells, "target", "applies_to")
        ]

    def _most_distinct(self, cells: list[Row]) -> float:
        """The sum of the weights that make every combination equally ordinary (Leinster & Meckes 2016)."""
        likeness = np.array([[self._likeness(a, b) for b in cells] for a in cells])
        return float(np.linalg.solve(likeness, np.ones(len(cells))).sum())

    @cached_property
    def player_conditions(self) -> list[Row]:
        kinds = {line["condition"]: line for line in self.fed_lines}
        return [
            {name: cell[name] for name in ("player_id", "cell", "wanted_share")} | {"condition": condition}
            for condition, line in kinds.items()
            for cell in self.target_cells
            if all(cell[name] == line[name] for name in named(cell))
        ]

    @cached_property
    def block_feeds(self) -> list[Row]:
        names = ("player_id", "session_id", "block", "condition", "setup_valid_from", "week", "session_date")
        lines = [line | {"stroke_or_dash": line["stroke"] or "-"} for line in self.fed_lines]
        return [
            key | {"balls": total(own, "balls"), "good": total(own, "good")}
            for key, own in grouped(lines, *names, "stroke_or_dash")
        ]

    @cached_property
    def block_conditions(self) -> list[Row]:
        return _summed(self.fed_lines, "player_id", "session_id", "block", "condition", "week", "session_date")

    @cached_property
    def block_cells(self) -> list[Row]:
        cell_of = {(line["player_id"], line["condition"]): line["grid_cell"] for line in self.met_lines}
        placed = [
            line | {name: cell[name] for name in ("cell", "wanted_share")}
            for line in self.fed_lines
            if (cell := cell_of.get((line["player_id"], line["condition"])))
        ]
        return _summed(placed, "player_id", "session_id", "block", "cell", "week", "session_date", "wanted_share")

    @cached_property
    def cut_blocks(self) -> list[Row]:
        cut_lines = [line | cut for line in self.fed_lines for cut in cuts_of(line)]
        of_block = ("player_id", "session_id", "block", "week", "session_date")
        return _summed(cut_lines, *of_block, "cut", "value", "condition")

    @cached_property
    def cut_sessions(self) -> list[Row]:
        judged = [block for block in self.cut_blocks if block["week"] > self._judged_after]
        return _summed(judged, "player_id", "session_id", "cut", "value", "condition", "week", "session_date")

    @cached_property
    def _judged_after(self) -> date:
        last: date = highest(self.weeks, "week")
        return last - timedelta(weeks=self.settings.judged_weeks)

    @cached_property
    def cut_weeks(self) -> list[Row]:
        return [
            key | {"balls": total(blocks, "balls"), "good": total(blocks, "good")} | squares(blocks)
            for key, blocks in grouped(self.cut_blocks, "player_id", "week", "cut", "value")
        ]


def _summed(lines: list[Row], *names: str) -> list[Row]:
    sums = ("balls", "good")
    return [key | {name: total(own, name) for name in sums} for key, own in grouped(lines, *names)]


def squares(blocks: list[Row]) -> Row:
    def of(*names: str) -> int:
        return sum(total(own, "balls") ** 2 for _, own in grouped(blocks, *names))

    return {"squared_block_balls": of("session_id", "block"), "squared_session_balls": of("session_id")}


def named(cell: Row) -> list[str]:
    return [name for name in DIMENSIONS if cell[name] is not None]


def _cell_key(cell: Row) -> Row:
    return {name: cell[name] for name in ("target", "applies_to", "cell")}


def pair(cell: Row, one: str, other: str) -> str:
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


def cuts_of(line: Row) -> Iterator[Row]:
    yield {"cut": "all", "value": "all"}
    for name in CUTS:
        if line[name] is not None:
            yield {"cut": "setup" if name == "setup_id" else name, "value": line[name]}
