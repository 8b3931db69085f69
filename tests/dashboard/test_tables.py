"""The tables of the coach's pages: nothing but marks of our own making, told by sign and word, read in both themes."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest

from dashboard.drawings.markup import Markup, element
from dashboard.look import stylesheet
from dashboard.look.tokens import DARK, LIGHT
from dashboard.rows.coach import BoardRow, CoverageRow, ValueRow
from dashboard.rows.judged import MixRow, SittingRow, TrendRow
from dashboard.rows.player import ErrorRow, OrderRow, SuccessRow, VarietyRow
from dashboard.tables import board as board_table
from dashboard.tables import grid as grid_table
from dashboard.tables import marks
from dashboard.tables import player as tables_player
from models.settings import Settings
from tests.dashboard.contrast import contrast
from tests.dashboard.shown import rows
from tests.dashboard.some import in_words, some

TODAY = date(2026, 11, 20)


def cell(status: str = "covered", player: str = "P1", **values: str) -> CoverageRow:
    """One wanted combination of a player."""
    met = None if status == "empty" else date(2026, 10, 3)
    return some(CoverageRow, player_id=player, words=in_words(**values), status=status, balls=12, last_met_on=met)


# Markup


def test_text_is_escaped_and_markup_is_not_escaped_twice():
    inner = element("b", "a & b")

    assert element("td", inner, "<script>", title='say "x"', class_=None) == (
        '<td title="say &quot;x&quot;"><b>a &amp; b</b>&lt;script&gt;</td>'
    )
    assert isinstance(inner, Markup)


# Marks


def test_every_status_has_a_sign_of_its_own_and_a_word_in_the_legend():
    legend = marks.legend()

    assert len(set(marks.SIGNS.values())) == len(marks.SIGNS) == 5
    assert [word for word in ("covered", "too few balls", "stale", "never met") if word not in legend] == []
    assert "off plan" in marks.board_legend()


def test_what_was_met_in_no_wanted_combination_is_not_called_never_met():
    met = {"last_met_on": None, "share_covered": 0.0, "balls": 0}
    never, otherwise = (
        some(ValueRow, **met, player_id="P1", dimension="depth", value=word, status=status, met_anyhow_on=on)
        for word, status, on in (("back", "empty", None), ("near", "off_plan", date(2026, 11, 2)))
    )

    table = board_table.by_value([player()], [never, otherwise], Settings(), TODAY)

    assert rows(table)[-1][-2:] == ["0 never", "≠ off plan"]
    assert "Depth near: met, but in no wanted combination, last on 2 November" in table


FILLS = re.findall(
    r"^html \.marks \.(\w+), .* \{ background: var\(--hl-(\w+)\); color: var\(--hl-(\w+)\);",
    (stylesheet.FOLDER / "tables.css").read_text(encoding="utf-8"),
    flags=re.MULTILINE,
)


def test_every_status_has_a_fill():
    assert {name for name, _, _ in FILLS} == set(marks.SIGNS)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(("name", "fill", "text"), FILLS, ids=[name for name, _, _ in FILLS])
def test_text_can_be_read_on_every_fill(name: str, fill: str, text: str, theme: Mapping[str, str]):
    """WCAG 2.2, success criterion 1.4.3: text has a contrast of at least 4.5 to 1."""
    assert contrast(theme[fill], theme[text]) >= 4.5


def test_the_contrast_of_black_on_white_is_the_published_maximum():
    """WCAG 2.2: contrast ratios range from 1 to 21."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)


# One player's grid


def test_tiles_are_made_by_the_first_two_dimensions_and_the_others_stand_inside():
    cells = [
        cell(depth=depth, side=side, spin_family=spin, tempo_band=tempo)
        for depth in ("near", "back")
        for side in ("backhand", "forehand")
        for spin in ("topspin", "backspin")
        for tempo in ("fast", "slow")
    ]

    table = rows(grid_table.player_grid(cells, "left", TODAY))

    assert table[0] == ["Depth", "Spin", "forehand", "backhand"]
    assert table[1] == ["slow", "fast", "slow", "fast"]
    assert [row[:-4] for row in table[2:]] == [["back", "backspin"], ["topspin"], ["near", "backspin"], ["topspin"]]


@pytest.mark.parametrize(
    ("status", "said"), [("covered", "✓ 12"), ("touched", "½ 12"), ("stale", "↺ 3 Oct"), ("empty", "0 never")]
)
def test_a_cell_says_its_status_by_sign_and_number_or_word(status: str, said: str):
    assert rows(grid_table.player_grid([cell(status, depth="back")], "right", TODAY))[1] == ["back", said]


def test_a_target_of_one_dimension_is_a_single_column():
    cells = [cell(spin="topspin"), cell("empty", spin="no_spin")]

    assert rows(grid_table.player_grid(cells, "right", TODAY)) == [
        ["Spin, finely", "Balls"],
        ["no spin", "0 never"],
        ["topspin", "✓ 12"],
    ]


def test_a_combination_outside_the_grid_is_not_called_empty():
    """There is no heavy topspin that is a backspin, so nobody can lack it."""
    cells = [
        cell(side="centre", spin_family="backspin", spin="backspin"),
        cell(side="centre", spin_family="topspin", spin="heavy_topspin"),
    ]

    table = rows(grid_table.player_grid(cells, "right", TODAY))

    assert table[1:] == [["centre", "backspin", "✓ 12", "·"], ["heavy topspin", "·", "✓ 12"]]


# The board


def player(**known: Any) -> BoardRow:
    row = {
        "player_id": "P1",
        "name": "Ada",
        "group_name": None,
        "standing": "judged",
        "last_logged_on": date(2026, 11, 18),
        "balls": 120,
        "cells": 2,
        "cells_covered": 1,
        "pairs": None,
        "pairs_covered": None,
    }
    return some(BoardRow, **row | known)


def test_a_player_code_cannot_break_out_of_its_link():
    html = board_table.by_value([player(player_id='"><b>&x')], [], Settings(), TODAY)

    assert 'href="one_player?player=%22%3E%3Cb%3E%26x"' in html


def test_a_grid_of_one_dimension_has_no_pairs_to_show():
    html = board_table.by_combination([player()], [cell(depth="back"), cell("empty", depth="near")], Settings(), TODAY)

    assert rows(html) == [["Player", "Covered", "back", "near"], ["Ada no group", "1 of 2", "✓", "0"]]


def test_the_length_of_a_fill_is_the_share_covered():
    values = [
        some(
            ValueRow,
            player_id="P1",
            dimension="depth",
            value="back",
            status="touched",
            cells=4,
            cells_covered=1,
            share_covered=0.25,
            balls=40,
            last_met_on=date(2026, 11, 2),
        )
    ]

    html = board_table.by_value([player()], values, Settings(), TODAY)

    assert 'style="--share:25%"' in html
    assert rows(html)[-1] == ["Ada no group", "1 of 2", "120 18 Nov", "1/4"]


def on_mix(**known: Any) -> MixRow:
    """Success of a player on the wanted mix."""
    row = {"player_id": "P1", "rate": 0.62, "low": 0.56, "high": 0.67, "balls": 965, "effective_balls": 330.4}
    return some(MixRow, **row | {"target_share_seen": 0.12} | known)


def test_players_are_compared_on_the_wanted_mix_with_range_count_and_share():
    html = board_table.by_success([player()], [on_mix()], Settings(), TODAY)

    assert rows(html)[1] == ["Ada no group", "62 in 100 56 to 67", "", "965", "12 in 100"]
    assert 'style="--low:56.0%;--high:67.0%"' in html
    assert 'title="965 balls, which tell as much as 330 single ones"' in html


@pytest.mark.parametrize(
    ("who", "mixes", "said"),
    [
        (player(standing="no_log", last_logged_on=None), [on_mix()], "Not judged: no log yet"),
        (player(standing="few_balls", balls=14), [on_mix()], "Not judged: not enough balls yet: 14 of the 20 it takes"),
        (player(), [on_mix(rate=None)], "Not judged: fewer than 20 of the wanted balls"),
        (player(), [], "Not judged: fewer than 20 of the wanted balls"),
    ],
    ids=["no log", "few balls", "few wanted balls", "no wanted ball"],
)
def test_who_cannot_be_judged_is_not_compared(who: BoardRow, mixes: list[MixRow], said: str):
    assert rows(board_table.by_success([who], mixes, Settings(), TODAY))[1] == ["Ada no group", said]


# One player's figures


def test_the_numbers_that_decide_come_first():
    me = player(cells=54, cells_covered=17, pairs=45, pairs_covered=38)
    spread = some(VarietyRow, effective_conditions=13.22, cells=54)

    html = tables_player.key_figures(me, spread, on_mix(), some(TrendRow, verdict="rising"))

    assert re.findall(r"<b>(.*?)</b><span>(.*?)</span>", html) == [
        ("17 of 54", "combinations covered"),
        ("38 of 45", "pairs covered"),
        ("13.2 of 54", "as if so many trained equally"),
        ("62 in 100", "on the wanted mix (56 to 67)"),
        ("rising", "success over the weeks"),
    ]


def test_what_cannot_be_told_is_a_dash_and_never_a_guess():
    me = player(cells=54, cells_covered=0, pairs=None)

    html = tables_player.key_figures(me, some(VarietyRow, cells=54), None, None)

    assert re.findall(r"<b>(.*?)</b>", html) == ["0 of 54", "–", "–", "–", "not enough balls yet"]


def test_success_in_figures_has_worth_range_and_the_rate_for_ranking():
    row = {"value": "heavy_backspin", "good": 33, "balls": 50, "effective_balls": 29.1, "rate": 0.66}
    row |= {"low": 0.478, "high": 0.804, "shrunk_rate": 0.648, "shrunk_low": 0.508, "shrunk_high": 0.777}

    assert rows(tables_player.success([some(SuccessRow, **row)]))[1] == [
        *("heavy backspin", "33 of 50", "29", "66 in 100 48 to 80", "65 in 100 51 to 78"),
    ]
    assert rows(tables_player.success([some(SuccessRow, **row | {"rate": None})]))[1][3] == "not enough yet"


def test_a_mistake_that_stands_out_has_a_sign_and_every_share_its_range():
    row = {"spin": "backspin", "outcome": "net", "balls": 47, "noted_balls": 139, "share": 0.338}
    row |= {"low": 0.216, "high": 0.487, "stands_out": True}

    assert rows(tables_player.errors([some(ErrorRow, **row)], Settings()))[1] == [
        *("backspin", "▲ 47 34 in 100 range 22 to 49", "139"),
    ]


def test_the_order_of_a_session_is_told_by_three_figures_and_a_word():
    row = {"session_date": date(2026, 11, 18), "balls": 179, "conditions": 12, "switch_rate": 0.606}
    row |= {"relative_switch_rate": 0.888, "conditional_entropy": 1.26, "order_seen": "serial"}

    assert rows(
        tables_player.orders([some(OrderRow, **row), some(OrderRow, **row | {"conditional_entropy": None})], TODAY)
    )[1:] == [
        ["18 November", "179", "12", "61 in 100", "89 in 100", bits, "serial: changing in a way one can guess"]
        for bits in ("1.3", "–")
    ]


def test_the_sittings_of_a_test_set_stand_beside_the_first():
    first = {"session_date": date(2026, 11, 2), "days_since_first": 0, "good": 31, "balls": 60, "rate": 0.517}
    first |= {"change": None, "change_low": None, "change_high": None, "detectable_change": None, "verdict": "first"}
    third = first | {"session_date": date(2026, 11, 19), "days_since_first": 17, "good": 49, "rate": 0.817}
    third |= {"change": 0.3, "change_low": 0.08, "change_high": 0.49, "detectable_change": 0.21, "verdict": "better"}

    assert rows(tables_player.sittings([some(SittingRow, **first), some(SittingRow, **third)], TODAY))[1:] == [
        ["2 November", "0", "31 of 60 52 in 100", "–", "–", "first sitting"],
        ["19 November", "17", "49 of 60 82 in 100", "30 more in 100 8 to 49 more in 100", "21 in 100", "better"],
    ]
