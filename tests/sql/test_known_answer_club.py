"""The club with known answers, through the front door: CSV files in by `load`, figures out by `query`."""

import json
from collections import Counter
from itertools import pairwise
from math import log
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from dashboard.command_line import app
from tests.models.published import RATS, TUMOURS
from tests.sql import known_answer_club
from tests.sql.known_answer_club import LAST_WEEK, SETTINGS

Row = dict[str, Any]


def halflong(*arguments: str | Path) -> str:
    result = CliRunner().invoke(app, [str(argument) for argument in arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


class Desk:
    """Questions to one data folder, as a reader of the published tables asks them."""

    def __init__(self, data: Path) -> None:
        self.data = data

    def ask(self, question: str) -> list[Row]:
        return json.loads(halflong("query", question, "--data", self.data, "--format", "json"))

    def row(self, question: str) -> Row:
        (row,) = self.ask(question)
        return row


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder = tmp_path_factory.mktemp("known")
    data = folder / "club"
    data.mkdir()
    (data / "club.toml").write_text(SETTINGS, encoding="utf-8")
    halflong("load", *known_answer_club.write(folder), "--data", data)
    return Desk(data)


# Of the last window: effective conditions, evenness, combinations and pairs covered, distance from the plan (bits),
# distinct combinations, total correlation. Closed forms by hand; distinct combinations by numpy from the formula.
VARIETY = {
    "P1": (18, 1, 18, 21, 0, 6.374715, 0),
    "P2": (1, 0, 1, 3, 0.843001, 1, 0),
    "P3": (6, 0.619906, 6, 15, 0.459148, 4.435744, log(3)),
}
VARIETY_COLUMNS = (
    *("effective_conditions", "evenness", "cells_covered", "pairs_covered", "plan_distance"),
    *("distinct_conditions", "total_correlation"),
)


def variety(desk: Desk, player: str) -> Row:
    return desk.row(f"select * from report.variety where player_id = '{player}' and week = '{LAST_WEEK}'")


@pytest.mark.parametrize("player", VARIETY)
def test_even_balls_one_combination_and_the_diagonal_have_the_variety_found_by_hand(desk, player):
    seen = variety(desk, player)

    assert [seen[name] for name in VARIETY_COLUMNS] == pytest.approx(VARIETY[player], abs=1e-6)
    assert (seen["balls_in_grid"], seen["cells"], seen["pairs"]) == (360, 18, 21)
    assert seen["grid_coverage"] == pytest.approx(VARIETY[player][2] / 18)
    assert seen["pair_coverage"] == pytest.approx(VARIETY[player][3] / 21)


def test_the_grid_holds_at_most_six_and_a_half_distinct_combinations(desk):
    """Leinster & Meckes (2016), closed form: (1 + 2 tanh(1/2))^2 (1 + tanh 1)."""
    assert variety(desk, "P1")["most_distinct_conditions"] == pytest.approx(6.522615, abs=1e-6)


def test_the_diagonal_is_even_in_every_single_dimension(desk):
    """So its bars look perfect, while two thirds of the grid are empty: the total correlation, ln 3, unmasks it."""
    rows = desk.ask(
        "select dimension, balls from report.coverage_by_value "
        f"where player_id = 'P3' and week = '{LAST_WEEK}' order by dimension"
    )

    assert Counter((row["dimension"], row["balls"]) for row in rows) == {
        ("depth", 120): 3,
        ("spin_family", 120): 3,
        ("tempo_band", 180): 2,
    }


def test_the_same_balls_in_three_orders_are_blocked_serial_and_random(desk):
    """17, 359 and about 340 changes in 359 steps; a shuffle changes 1 - 18 x 20 x 19 / (360 x 359) of them."""
    rows = {row["player_id"]: row for row in desk.ask("select * from report.schedule where player_id <> 'P15'")}
    lines = known_answer_club.one_by_one()
    kinds = [(line["setup"], line["spin"], line["tempo_bpm"]) for line in lines if line["player"] == "P8"]
    shuffled = sum(one != other for one, other in pairwise(kinds)) / 359

    by_shuffle = 1 - 18 * 20 * 19 / (360 * 359)
    for player, rate, order in (("P6", 17 / 359, "blocked"), ("P7", 1, "serial"), ("P8", shuffled, "random")):
        assert rows[player]["switch_rate"] == pytest.approx(rate)
        assert rows[player]["relative_switch_rate"] == pytest.approx(rate / by_shuffle)
        assert rows[player]["order_seen"] == order
    assert rows["P7"]["conditional_entropy"] == pytest.approx(0, abs=1e-9)
    assert len({round(variety(desk, player)["effective_conditions"], 9) for player in ("P1", "P6", "P7", "P8")}) == 1


def test_the_steady_riser_rises_with_a_spread_that_is_not_taken_below_chance(desk):
    """Slope .822430 from the first session to the last, eleven weeks; unfloored, p would be 1.7e-06."""
    row = desk.row("select * from report.trend where player_id = 'P9' and cut = 'all'")

    assert row["slope"] * 11 == pytest.approx(0.822430, abs=1e-6)
    assert (row["dispersion"], row["sessions"], row["balls"], row["verdict"]) == (1, 12, 480, "rising")
    assert 0.005 < row["p_value"] < 0.05


def test_the_player_who_looks_worse_is_the_better_one_on_the_same_balls(desk):
    """Charig et al. (1986), from memory: crude .780 against .826, on the wanted mix .8325 against .7789."""
    crude = desk.ask(
        f"select rate from report.success where player_id in ('P11', 'P12') and cut = 'all' and week = '{LAST_WEEK}'"
    )
    standard = desk.ask(
        f"select rate, target_share_seen from report.standard_success where player_id in ('P11', 'P12')"
        f" and week = '{LAST_WEEK}'"
    )

    assert [row["rate"] for row in crude] == pytest.approx([0.780, 0.825714], abs=1e-6)
    assert [row["rate"] for row in standard] == pytest.approx([0.832546, 0.778875], abs=1e-6)
    assert [row["target_share_seen"] for row in standard] == pytest.approx([1, 1])


def test_a_change_of_the_ball_costs_twenty_points(desk):
    """.80 repeated, .60 on the first ball after a change, so three quarters are retained."""
    row = desk.row("select * from report.variety_cost where player_id = 'P15'")

    assert (row["cost"], row["low"], row["high"]) == pytest.approx((0.20, 0.20, 0.20))
    assert (row["first_balls"], row["repeat_balls"], row["verdict"]) == (120, 660, "falls")
    assert row["target_share_seen"] == pytest.approx(2 / 18)


def test_of_a_new_player_with_four_balls_nothing_is_said(desk):
    success = desk.ask("select balls, rate, low, high from report.success where player_id = 'P16'")
    trends = desk.ask("select slope, p_value, change, verdict from report.trend where player_id = 'P16'")
    standard = desk.row("select rate, low, high from report.standard_success where player_id = 'P16'")
    spread = variety(desk, "P16")

    assert {tuple(row.values()) for row in success} == {(4, None, None, None)}
    assert {tuple(row.values()) for row in trends} == {(None, None, None, "too_few")}
    assert set(standard.values()) == {None}
    assert (spread["cells_met"], spread["cells_covered"], spread["effective_conditions"]) == (1, 0, None)
    assert (spread["evenness"], spread["plan_distance"], spread["distinct_conditions"]) == (None, None, None)
    assert desk.row("select verdict from report.rarely_met where player_id = 'P16'") == {"verdict": "too_few"}
    assert desk.ask("select * from report.then_and_now where player_id = 'P16'") == []
    assert {row["why"] for row in desk.ask("select why from report.gaps where player_id = 'P16'")} == {
        "never_met",
        "too_few",
    }


def test_three_weeks_without_a_log_are_missing_and_not_rest(desk):
    """An hour a week, three weeks nothing, an hour again: as much as before, and not four times the mean.

    Foster et al. (2001): an hour at effort 7 is 420.
    """
    rows = desk.ask("select * from report.load where player_id = 'P17' order by week")

    assert [row["minutes"] for row in rows] == [60] * 4 + [None] * 3 + [60] * 5
    assert [row["sessions"] for row in rows] == [1] * 4 + [0] * 3 + [1] * 5
    assert [row["effort_load"] for row in rows] == [420] * 4 + [None] * 3 + [420] * 5
    assert [row["weeks_compared"] for row in rows] == [0, 1, 2, 3, 4, 3, 2, 1, 1, 2, 3, 4]
    assert [row["week_change"] for row in rows] == [None, 1, 1, 1, None, None, None, 1, 1, 1, 1, 1]


def test_every_judged_figure_says_by_which_version_and_seed_it_was_made(desk):
    rows = desk.ask("select * from report.judgements")

    assert {row["last_week"] for row in rows} == {LAST_WEEK}
    assert {"report.success", "report.trend", "report.variety_cost"} <= {row["table_name"] for row in rows}
    assert all(row["version"] >= 1 and row["seed"] > 0 for row in rows)


def test_four_tumours_of_fourteen_rats_are_pulled_to_their_seventy_forerunners(tmp_path):
    """Tarone (1982), in Gelman et al. (2013): raw .286; a = 1.4, b = 8.6 give .223, their full posterior about .21.

    An experiment is a player here, and a rat with a tumour a good ball.
    """
    data = tmp_path / "club"
    data.mkdir()
    (data / "club.toml").write_text("assumed_likeness = 0.0\nlikeness_comparisons = 10000", encoding="utf-8")
    halflong("load", *known_answer_club.write_rats(tmp_path, TUMOURS, RATS), "--data", data)

    last = Desk(data).row("select * from report.success where player_id = 'P71' and cut = 'all'")

    assert (last["balls"], last["good"], last["rate"]) == (14, 4, None)
    assert last["shrunk_rate"] == pytest.approx(0.21, abs=0.01)
    assert last["shrunk_low"] < last["shrunk_rate"] < last["shrunk_high"] < 4 / 14 + 0.15
