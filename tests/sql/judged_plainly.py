"""The judged rates, changes and gaps once more, in loops over the lines of one club: slow, plain, to check against.

It starts from the lines in force, the wanted combinations and the coverage, which the oracle checks, and takes the
ranges from statsmodels. How hard small counts are pulled is checked elsewhere; here each group is pulled on its own.
"""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cached_property
from itertools import combinations
from math import sqrt

import numpy as np
from scipy.special import expit
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from models.settings import Settings
from models.shrinkage import shrink
from models.words import COVERAGE_DIMENSIONS
from sql.judging import Evidence, all_evidence
from tests.sql.clubs import Club, Row
from tests.sql.likeness_plainly import Alike, likeness_plainly

DIMENSIONS = tuple(words.name for words in COVERAGE_DIMENSIONS)
CUTS = ("setup", *DIMENSIONS, "stroke")
WHY = {"empty": "never_met", "stale": "not_lately", "touched": "too_few"}


class Plainly:
    """One club of a warehouse."""

    def __init__(self, club: Club, settings: Settings) -> None:
        self.settings = settings
        self._club = club
        self.lines = self._rows("core.fed_lines")
        self.windows = self._rows("core.player_weeks")
        self.wanted = {(row["player_id"], row["cell"]): row for row in self._rows("core.target_cells")}

    def _rows(self, table: str) -> list[Row]:
        return self._club.rows(table, where=f"club_id = '{self.settings.club_id}'")

    @cached_property
    def evidence(self) -> Evidence:
        """Only for what is believed of the balls, which is checked by `tests/models/test_difficulty.py`."""
        (own,) = (one for one in all_evidence(self._club.connection, ()) if one.settings == self.settings)
        return own

    @cached_property
    def alike(self) -> Alike:
        evidence, names = self.evidence, ("player_id", "session_id", "block", "condition")
        rows = evidence.rows("core.block_conditions").select(names).rows()
        rates = dict(zip(rows, evidence.balls.difficulty.expected_rate.tolist(), strict=True))
        lines = [line | {"expected_rate": rates[tuple(line[name] for name in names)]} for line in self.lines]
        return likeness_plainly(lines, self.settings)

    def in_window(self, window: Row) -> list[Row]:
        """The player's lines of the window."""
        return [
            line
            for line in self.lines
            if line["player_id"] == window["player_id"] and window["window_start"] <= line["week"] <= window["week"]
        ]

    def worth(self, lines: list[Row]) -> float:
        """Effective balls."""
        block, session = _met(lines, "session_id", "block"), _met(lines, "session_id")
        effect = 1 + (block - 1) * self.alike.block + (session - block) * self.alike.session
        return sum(line["balls"] for line in lines) / effect

    def success(self) -> Iterator[Row]:
        pulled: dict[tuple, list[tuple[Row, float, float]]] = defaultdict(list)
        for window in self.windows:
            for (cut, value), lines in self._values(self.in_window(window)).items():
                row, worth = self._rated(window, cut, value, lines), self.worth(lines)
                together = (window["week"], cut, "" if cut == "all" else window["player_id"])
                pulled[together].append((row, row["good"] * worth / row["balls"], worth))
        for group in pulled.values():
            rows, good, worth = zip(*group, strict=True)
            found = shrink(np.zeros(len(rows)), good, worth)
            ends = (found.rate, found.quantile(0.025), found.quantile(0.975))
            for row, rate, low, high in zip(rows, *ends, strict=True):
                yield row | {"shrunk_rate": rate, "shrunk_low": low, "shrunk_high": high}

    def _values(self, lines: list[Row]) -> dict[tuple[str, str], list[Row]]:
        by_value = defaultdict(list)
        for line in lines:
            for cut in ("all", *CUTS):
                value = "all" if cut == "all" else line["setup_id" if cut == "setup" else cut]
                if value is not None:
                    by_value[cut, value].append(line)
        return by_value

    def _rated(self, window: Row, cut: str, value: str, lines: list[Row]) -> Row:
        balls, good, worth = _sum(lines, "balls"), _sum(lines, "good"), self.worth(lines)
        row = {name: window[name] for name in ("club_id", "week", "player_id")}
        row |= {"cut": cut, "value": value, "balls": balls, "good": good, "effective_balls": worth}
        if balls < self.settings.rate_balls:
            return row | {"rate": None, "low": None, "high": None}
        low, high = proportion_confint(good / balls * worth, worth, method="wilson")
        return row | {"rate": good / balls, "low": low, "high": high}

    def cell_of(self, line: Row) -> str | None:
        """The wanted combination of the player that describes the line."""
        for (player, cell), wanted in self.wanted.items():
            named = [words.name for words in COVERAGE_DIMENSIONS if wanted[words.name] is not None]
            if player == line["player_id"] and all(line[name] == wanted[name] for name in named):
                return cell
        return None

    def by_cell(self, lines: list[Row]) -> dict[str, list[Row]]:
        found = defaultdict(list)
        for line in lines:
            if (cell := self.cell_of(line)) is not None:
                found[cell].append(line)
        return found

    def standard(self, player: str, cells: dict[str, list[Row]]) -> dict[str, float]:
        """The rate on the wanted mix of these cells, and the balls it is worth, by the more careful of two sums."""
        seen = sum(self.wanted[player, cell]["wanted_share"] for cell in cells)
        weight = {
            cell: self.wanted[player, cell]["wanted_share"] / seen / _sum(lines, "balls")
            for cell, lines in cells.items()
        }
        rate = sum(weight[cell] * _sum(lines, "good") for cell, lines in cells.items())
        worths = [self._weighted_worth(cells, weight)]
        if 0 < rate < 1:
            worths.append(self._weighted_worth(cells, {c: w * _spread(cells[c], rate) for c, w in weight.items()}))
        return {
            "rate": rate,
            "worth": min(worths),
            "seen": seen,
            "balls": sum(_sum(own, "balls") for own in cells.values()),
        }

    def _weighted_worth(self, cells: dict[str, list[Row]], weight: dict[str, float]) -> float:
        alone, blocks, sessions = 0.0, defaultdict(float), defaultdict(float)
        for cell, lines in cells.items():
            for line in lines:
                alone += line["balls"] * weight[cell] ** 2
                blocks[line["session_id"], line["block"]] += line["balls"] * weight[cell]
                sessions[line["session_id"]] += line["balls"] * weight[cell]
        by_block, by_session = (sum(share**2 for share in shares.values()) for shares in (blocks, sessions))
        block, session = self.alike.block, self.alike.session
        return 1 / ((1 - block) * alone + (block - session) * by_block + session * by_session)

    def standard_success(self) -> Iterator[Row]:
        for window in self.windows:
            cells = self.by_cell(self.in_window(window))
            if not cells:
                continue
            found = self.standard(window["player_id"], cells)
            row = {name: window[name] for name in ("club_id", "week", "player_id")}
            row |= {"balls": found["balls"], "effective_balls": found["worth"], "target_share_seen": found["seen"]}
            ends = {"rate": None, "low": None, "high": None}
            if found["balls"] >= self.settings.rate_balls:
                low, high = proportion_confint(found["rate"] * found["worth"], found["worth"], method="wilson")
                ends = {"rate": found["rate"], "low": low, "high": high}
            yield row | ends

    def then_and_now(self) -> Iterator[Row]:
        apart = timedelta(days=self.settings.window_days)
        for window in self.windows:
            then = self._first_whole_window(window["player_id"])
            if then is None or window["week"] < then["week"] + apart:
                continue
            sides = [self.by_cell(self.in_window(one)) for one in (window, then)]
            common = sides[0].keys() & sides[1].keys()
            if common:
                yield self._compared(window, then, [{c: side[c] for c in sorted(common)} for side in sides])

    def _first_whole_window(self, player: str) -> Row | None:
        own = [window for window in self.windows if window["player_id"] == player]
        met = [line["week"] for line in self.lines if line["player_id"] == player and self.cell_of(line) is not None]
        for window in sorted(own, key=lambda one: one["week"]):
            balls = sum(_sum(lines, "balls") for lines in self.by_cell(self.in_window(window)).values())
            if met and window["window_start"] >= min(met) and balls >= self.settings.rate_balls:
                return window
        return None

    def _compared(self, window: Row, then: Row, sides: list[dict[str, list[Row]]]) -> Row:
        now, before = (self.standard(window["player_id"], side) for side in sides)
        row = {name: window[name] for name in ("club_id", "week", "player_id")} | {"then_week": then["week"]}
        row |= {"balls": now["balls"], "then_balls": before["balls"], "target_share_seen": now["seen"]}
        row |= {"rate": now["rate"], "then_rate": before["rate"]}
        if min(now["balls"], before["balls"]) < self.settings.rate_balls:
            return row | {"change": None, "change_low": None, "change_high": None, "verdict": "too_few"}
        low, high = _newcombe(now, before)
        verdict = _verdict(low, high, self.settings.small_change)
        return row | {
            "change": now["rate"] - before["rate"],
            "change_low": low,
            "change_high": high,
            "verdict": verdict,
        }

    def gaps(self) -> Iterator[Row]:
        last_week = max((line["week"] for line in self.lines), default=None)
        for player in sorted({window["player_id"] for window in self.windows}):
            rows = [
                row | own
                for row in self._rows("report.coverage")
                if row["player_id"] == player and row["week"] == last_week
                for own in [self._pulled(player, last_week).get(row["cell"], {"judged_balls": 0, "shrunk_rate": None})]
            ]
            everything = [row | {"why": self._why(row), "days_since": self._days_since(row)} for row in rows]
            lacking = [row for row in everything if row["why"]]
            for rank, row in enumerate(ranked_plainly(lacking, everything, self.settings), start=1):
                yield {name: row.get(name) for name in GAP_COLUMNS} | {"rank": rank, "days_since": row["days_since"]}

    def _days_since(self, row: Row) -> int | None:
        last_day = max(line["session_date"] for line in self.lines)
        return (last_day - row["last_met_on"]).days if row["last_met_on"] else None

    def _why(self, row: Row) -> str | None:
        return WHY.get(row["status"], "weak" if row.get("is_weak") else None)

    def _pulled(self, player: str, last_week: date) -> dict[str, Row]:
        earliest = last_week - timedelta(weeks=self.settings.judged_weeks)
        judged = [line for line in self.lines if line["player_id"] == player and line["week"] > earliest]
        cells = self.by_cell(judged)
        if not cells:
            return {}
        worth = {cell: self.worth(lines) for cell, lines in cells.items()}
        good = [_sum(lines, "good") / _sum(lines, "balls") * worth[cell] for cell, lines in cells.items()]
        found = shrink(np.zeros(len(cells)), good, list(worth.values()))
        expected = self._expected(player, cells)
        return {
            cell: {
                "judged_balls": _sum(cells[cell], "balls"),
                "is_weak": self._is_weak(cells, cell, worth, *expected),
                "shrunk_rate": found.rate[at],
                "shrunk_high": found.quantile(0.975)[at],
            }
            for at, cell in enumerate(cells)
        }

    def _expected(self, player: str, cells: dict[str, list[Row]]) -> tuple[dict[str, float], dict[tuple, float]]:
        """The rate of each kind at the player's level, and the covariance of the doubt about two kinds' ease."""
        known, belief = self.evidence.balls, self.evidence.balls.by_others(player)
        called = {kind: condition for condition, kind in known.kinds.items()}
        names = [called[kind] for kind in belief.kinds]
        ease = dict(zip(names, belief.ease, strict=True))
        met = [line for lines in cells.values() for line in lines]
        good, balls = _sum(met, "good"), _sum(met, "balls")
        low, high = -30.0, 30.0
        for _ in range(200):
            level = (low + high) / 2
            hits = sum(line["balls"] * expit(ease[line["condition"]] + level) for line in met)
            low, high = (level, high) if hits < (good + 0.5) * balls / (balls + 1) else (low, level)
        doubt = {(a, b): belief.doubt[i, j] for i, a in enumerate(names) for j, b in enumerate(names)}
        return {name: expit(ease[name] + level) for name in names}, doubt

    def _is_weak(
        self,
        cells: dict[str, list[Row]],
        cell: str,
        worth: dict[str, float],
        rate: dict[str, float],
        doubt: dict[tuple, float],
    ) -> bool:
        """Newcombe's range, the doubt about what is expected taken for that of so many balls."""
        of_cell, of_all = defaultdict(float), defaultdict(float)
        for other, lines in cells.items():
            for line in lines:
                chance = line["balls"] * rate[line["condition"]] * (1 - rate[line["condition"]])
                of_all[line["condition"]] += chance
                of_cell[line["condition"]] += chance * (other == cell)
        balls, whole, own = _sum(cells[cell], "balls"), sum(of_all.values()), sum(of_cell.values())
        moved = {kind: (of_cell[kind] - own * of_all[kind] / whole) / balls for kind in of_all}
        variance = sum(moved[a] * moved[b] * doubt[a, b] for a in moved for b in moved)
        all_balls = sum(_sum(lines, "balls") for lines in cells.values())
        variance += (own / balls) ** 2 * all_balls / sum(worth.values()) / whole
        expected = sum(line["balls"] * rate[line["condition"]] for line in cells[cell]) / balls
        now = {"rate": _sum(cells[cell], "good") / balls, "worth": worth[cell]}
        return _newcombe(now, {"rate": expected, "worth": expected * (1 - expected) / variance})[1] < 0


GAP_COLUMNS = (
    "club_id",
    "player_id",
    "cell",
    "status",
    "why",
    "need_balls",
    "judged_balls",
    "shrunk_rate",
    "shrunk_high",
)


def ranked_plainly(lacking: list[Row], everything: list[Row], settings: Settings) -> list[Row]:
    """One after the other, what brings most for each minute once those before it were fed."""
    fed, ranked = {row["cell"]: row["balls"] for row in everything}, []
    while len(ranked) < len(lacking):
        rest = [row for row in lacking if row not in ranked]
        ranked.append(min(rest, key=lambda row: _urgency(row, everything, fed, settings)))
        fed[ranked[-1]["cell"]] += max(ranked[-1]["need_balls"], settings.planned_balls)
    return ranked


def _urgency(row: Row, everything: list[Row], fed: dict[str, int], settings: Settings) -> tuple:
    enough, balls = settings.covered_balls, max(row["need_balls"], settings.planned_balls)
    waited = {one["cell"]: max((one["days_since"] or 0) / settings.window_days, 1) for one in everything}
    weight = row["wanted_share"] * waited[row["cell"]]
    if row["days_since"] is None:
        weight = (row["wanted_share"] + max(one["wanted_share"] for one in everything)) * max(waited.values())
    missing = row["need_balls"] / enough if row["need_balls"] else 1
    together: dict[frozenset, int] = defaultdict(int)
    for one in everything:
        for pair in _pairs(one):
            together[pair] += fed[one["cell"]]
    lacks = [max(enough - together[pair], 0) for pair in _pairs(row)]
    pairs = sum(min(balls, lack) for lack in lacks) / enough / max(len(together), 1)
    bpm = {"slow": 0.75 * settings.slow_below_bpm, "fast": 1.25 * settings.fast_from_bpm}
    middle = (settings.slow_below_bpm + settings.fast_from_bpm) / 2
    minutes = balls / bpm.get(row["tempo_band"], middle) + settings.block_pause_minutes
    worth = (weight * min(missing, balls / enough) + pairs) / minutes
    named = sorted((name, row[name]) for name in DIMENSIONS if row[name] is not None)
    return -round(worth, 12), sum(together[pair] for pair in _pairs(row)), named


def _pairs(row: Row) -> set[frozenset]:
    named = [(name, row[name]) for name in DIMENSIONS if row[name] is not None]
    return {frozenset(two) for two in combinations(named, 2)}


def _sum(lines: list[Row], column: str) -> int:
    return sum(line[column] for line in lines)


def _met(lines: list[Row], *names: str) -> float:
    """The size of the block, or of the session, that a ball finds itself in."""
    found: dict[tuple, int] = defaultdict(int)
    for line in lines:
        found[tuple(line[name] for name in names)] += line["balls"]
    return sum(balls**2 for balls in found.values()) / sum(found.values())


def _spread(lines: list[Row], rate: float) -> float:
    """How much a ball of the cell varies against one at the whole rate; the cell pulled by two balls to that rate."""
    own = (_sum(lines, "good") + 2 * rate) / (_sum(lines, "balls") + 2)
    return sqrt(own * (1 - own) / (rate * (1 - rate)))


def _newcombe(now: dict[str, float], before: dict[str, float]) -> tuple[float, float]:
    counts = (value for one in (now, before) for value in (one["rate"] * one["worth"], one["worth"]))
    return confint_proportions_2indep(*counts, method="newcomb", compare="diff")


def _verdict(low: float, high: float, small: float) -> str:
    if -small < low and high < small:
        return "steady"
    return "rising" if low > 0 else "falling" if high < 0 else "not_clear"
