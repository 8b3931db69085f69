"""Type a sheet: a line for each block, by keyboard alone, into the log."""

from datetime import date

import pytest
from streamlit.testing.v1 import AppTest

from sql.folder import DataFolder
from sql.warehouse import ask
from tests.dashboard.shown import opened, words

VIEW, TODAY = "views/type_sheet.py", date(2025, 3, 14)


@pytest.fixture(autouse=True)
def small_clubs_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)


def begun(folder: DataFolder, *players: str) -> AppTest:
    app = opened(folder, VIEW)
    return app.multiselect(key="typed-players").set_value(list(players)).run()


def type_line(app: AppTest, text: str) -> AppTest:
    return app.text_input(key="typed-line").input(text).run()


def test_a_sheet_is_typed_line_by_line_and_saved_as_one_batch(small_club):
    app = begun(small_club, "ADA")

    type_line(app, "BC t l 30 21")
    assert app.text_input(key="typed-line").value == "", "ready for the next line"
    type_line(app, "20 12 5 2 1 0")
    next(button for button in app.button if button.label == "Save 2 lines").click().run()

    assert "2 lines in the log, as batch" in app.success[0].value
    rows = ask(
        small_club,
        "select block, setup_id, spin, length, balls, good, net from core.fed_lines"
        f" where player_id = 'ADA' and session_id like '{TODAY}/%' order by block",
    )
    assert list(rows.iter_rows()) == [
        (1, "BC", "topspin", "long", 30, 21, None),
        (2, "BC", "topspin", "long", 20, 12, 5),
    ]


def test_a_line_that_cannot_be_read_stays_and_says_what_could_stand_there(small_club):
    app = type_line(begun(small_club, "ADA"), "XX t l 30 21")

    assert "expected the setup" in app.error[0].value
    assert app.text_input(key="typed-line").value == "XX t l 30 21"
    type_line(app, "BC t l 30 21")
    assert not app.error


def test_counts_that_the_rules_of_the_log_refuse_are_not_saved(small_club):
    app = type_line(begun(small_club, "ADA"), "BC t l 30 31")

    next(button for button in app.button if button.label == "Save 1 line").click().run()

    assert "no more good balls than balls fed" in app.error[0].value
    assert "0 of 1 lines are in the log" in words(app)


def test_a_groups_sheet_goes_from_row_to_row(small_club):
    app = begun(small_club, "ADA", "BEN")
    assert app.text_input(key="typed-line").label == "Block 1 of Ada Lind"

    type_line(app, "BC t l")
    type_line(app, "30 21")
    assert app.text_input(key="typed-line").label == "Block 1 of Ben Orr"
    type_line(app, "30 11")

    assert "Ada Lind 1 BC, topspin, long 30 21" in words(app)
    assert "Ben Orr 1 BC, topspin, long 30 11" in words(app)


def test_without_a_player_the_page_asks_for_one_and_without_logs_says_what_is_missing(small_club, empty_club):
    assert "Pick whose sheet it is" in words(opened(small_club, VIEW))
    assert "Nothing is loaded yet." in words(opened(empty_club, VIEW))
