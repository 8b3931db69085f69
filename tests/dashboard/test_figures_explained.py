"""Every figure that a page of the coach or the player shows has its definition one click away, from its one home."""

import re
from collections.abc import Iterator
from typing import Any

import polars as pl
import pytest
from streamlit.testing.v1 import AppTest

from dashboard import questions
from dashboard.questions import Desk, asking, owners_desk
from dashboard.words import figures
from dashboard.words.explaining import NO_BASIS, explained, in_words
from dashboard.words.figures import Figures
from demo_data import stories
from models.settings import Settings
from sql.folder import DataFolder
from tests.dashboard.shown import opened, shown, words

BOARD = "views/board.py"
ONE_PLAYER = "views/one_player.py"
NEXT_SESSION = "views/next_session.py"
NEEDS = "views/needs.py"
MINE = "views/my_training.py"

EXPLAINED = [one for one in vars(figures).values() if isinstance(one, Figures)]


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, pl.DataFrame]]:
    """What a page asks of the published tables while it is drawn, with the answers."""
    noted: list[tuple[str, pl.DataFrame]] = []
    kept = asking._kept

    def noting(*asked: Any) -> pl.DataFrame:
        rows = kept(*asked)
        noted.append((asked[3], rows))
        return rows

    monkeypatch.setattr(asking, "_kept", noting)
    return noted


OTHERWISE_CALLED = {"window_balls": "balls", "cells_wanted": "cells"}
"""Where a question takes two columns of one name, one of them has another."""


def tables_in(question: str) -> list[str]:
    found = [table for table in re.findall(r"report\.\w+", question) if table != "report.build"]
    # What is lacking on a day is made of the success on each combination, and told as the rows of report.gaps are.
    return [*found, "report.gaps"] if "report.cell_success" in found else found


def figures_in(rows: pl.DataFrame) -> list[str]:
    """The columns in which a figure or a verdict stands, not names, days or words of the trade."""
    told = [name for name in rows.columns if rows[name].null_count() < rows.height]
    return [name for name in told if rows.schema[name].is_numeric() or name in ("verdict", "is_assumed", "stands_out")]


def definitions(desk: Desk, tables: list[str], column: str) -> Iterator[str]:
    """How a page writes the definition of a column, for each of the tables that has it."""
    for table in tables:
        meanings = questions.meaning(desk, table)
        if column in meanings:
            yield f"**{in_words(column)}**: {in_words(meanings[column])}"


def unexplained(desk: Desk, app: AppTest, asked: list[tuple[str, pl.DataFrame]]) -> set[str]:
    said, every_table = words(app), [one.table for one in EXPLAINED]
    missing = set()
    for question, rows in asked:
        for name in figures_in(rows) if tables_in(question) else []:
            column = OTHERWISE_CALLED.get(name, name)
            # What a question counts itself is defined where the same figure stands in a table.
            own = list(definitions(desk, tables_in(question), column)) or definitions(desk, every_table, column)
            if not any(definition in said for definition in own):
                missing.add(f"{', '.join(tables_in(question))}: {column}")
    return missing


@pytest.mark.parametrize(
    ("view", "player"),
    [
        (ONE_PLAYER, stories.FALLS_AT_CHANGES.player),
        (ONE_PLAYER, stories.NEWCOMER.player),
        (NEXT_SESSION, stories.FALLS_AT_CHANGES.player),
        (MINE, stories.RISER.player),
        (NEEDS, None),
    ],
)
def test_every_figure_of_a_page_is_explained(demo_on_screen: DataFolder, asked, view: str, player: str | None):
    app = opened(demo_on_screen, view, player)
    asked.clear()  # of the page on which the app began

    app.run()

    assert len(asked) > 5
    assert unexplained(owners_desk(demo_on_screen), app, asked) == set()


def test_every_figure_of_the_board_is_explained(demo_on_screen: DataFolder, asked):
    app = opened(demo_on_screen, BOARD)
    app.selectbox[1].select("Competition").run()

    for columns in ("By depth, side, spin and tempo", "Every combination", "Success on the wanted mix"):
        asked.clear()
        app.button_group[0].set_value(columns).run()

        assert len(asked) > 3
        assert unexplained(owners_desk(demo_on_screen), app, asked) == set(), columns


def test_a_figure_without_its_definition_would_be_found(demo_club: DataFolder, asked):
    """The check above must be able to fail: the figures of one page are not explained on another."""
    desk = owners_desk(demo_club)
    questions.variety_cost(desk, stories.FALLS_AT_CHANGES.player)

    assert "report.variety_cost: cost" in unexplained(desk, shown(demo_club, BOARD), asked)


@pytest.mark.parametrize("one", EXPLAINED, ids=lambda one: f"{one.table} {one.called}")
def test_what_is_explained_exists_and_names_its_settings(demo_club: DataFolder, one: Figures):
    assert set(one.columns) <= set(questions.meaning(owners_desk(demo_club), one.table))
    assert set(one.uses) <= set(Settings.model_fields)
    assert "p_value" not in one.columns


def test_figures_without_a_list_are_all_that_the_header_explains_with_the_settings_it_names():
    meanings = {
        "week": "a Monday",
        "player_id": "a code",
        "sets_met": "sets of rate_balls balls",
        "sets": "x",
    }

    lines = explained("How many sets.", meanings, Figures("report.sets"), Settings(rate_balls=7)).splitlines()

    assert lines[:4] == ["How many sets.", "", "- **sets met**: sets of rate balls balls", "- **sets**: x"]
    assert lines[4].startswith("- Setting **rate balls** = 7: ")
    assert lines[-1] == NO_BASIS
    assert len(lines) == 7


def test_a_setting_is_called_so_with_its_value_and_no_published_basis(demo_club: DataFolder):
    said = words(shown(demo_club, ONE_PLAYER, stories.RISER.player))

    assert "Setting **small change** = 0.1: a change of the success rate smaller than this does not matter" in said
    assert "Setting **trend sessions** = 6: fewest sessions for which a trend is judged" in said
    assert "A setting is a threshold that the club may change; it has no published basis." in said


@pytest.mark.parametrize(
    "source",
    ["Newcombe 1998", "Leinster & Cobbold 2012", "NISTIR 7878", "Fleiss, Levin & Paik 2003", "Hesterberg 2015"],
)
def test_the_published_source_of_a_figure_is_one_click_away(demo_club: DataFolder, source: str):
    assert source in words(shown(demo_club, ONE_PLAYER, stories.RISER.player))
