"""A new club's first hour: five steps, counted in touches of a hand on the page."""

from datetime import date

import pytest
from streamlit.testing.v1 import AppTest

from sql.folder import DataFolder
from sql.warehouse import ask
from tests.dashboard.shown import APP, board_rows, opened, words
from tests.signing_in import user_of

TODAY = date(2026, 11, 26)
STEPS, BLOCK, BOARD = "views/first_steps.py", "views/write_block.py", "views/board.py"
MOST_TOUCHES = 40

TWELVE = """\
Mara Brook, Juniors
Ilya Stone, left, Juniors
Tove Marsh, Juniors, 2012
Noor Field, Juniors
Ben Hollow, Juniors
Ada Ridge, Juniors
Cléo Ford, Seniors
Dan Weir, Seniors
Eva Moor, left, Seniors
Finn Glade, Seniors
Gus Heath, Seniors
Hana Shore, Seniors
"""


@pytest.fixture(autouse=True)
def todays(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)


class Hand:
    """Touches a page, and counts."""

    def __init__(self, app: AppTest) -> None:
        self.app, self.touches = app, 0

    def does(self, app: AppTest, touches: int = 1) -> None:
        self.touches += touches
        self.app = app
        assert not app.exception, app.exception

    def presses(self, label: str) -> None:
        self.does(next(button for button in self.app.button if button.label == label).click().run())


def test_from_an_empty_folder_to_the_board_with_twelve_players_in_at_most_forty_touches(
    empty_club: DataFolder,
) -> None:
    hand = Hand(opened(empty_club, STEPS))
    assert "0 of 5 steps done" in words(hand.app)

    hand.app.text_input(key="first-club-name-0").set_value("Riverside Table Tennis")
    hand.app.color_picker(key="first-club-colour-0").set_value("#1b7a4b")
    hand.touches += 3
    hand.presses("Save name and colour")
    assert "1 of 5 steps done" in words(hand.app)
    assert empty_club.settings().club_name == "Riverside Table Tennis"

    hand.does(hand.app.text_area(key="players-added-text-1").input(TWELVE).run())
    hand.presses("Save 12 players")
    assert "2 of 5 steps done" in words(hand.app)

    hand.does(hand.app.pills(key="setups-ready-back-2").set_value(["BC"]).run())
    hand.does(hand.app.pills(key="setups-ready-near-2").set_value(["NC", "NB"]).run(), touches=2)
    hand.presses("Save 3 places")
    assert "3 of 5 steps done" in words(hand.app)

    assert "12 combinations." in words(hand.app), "where feeders stand, by spin"
    hand.does(hand.app.slider(key="first-mix-3-spin_family-no_spin").set_value(10).run())
    hand.presses("Save this mix")
    assert "4 of 5 steps done" in words(hand.app)

    hand.does(opened(empty_club, BLOCK))
    hand.does(hand.app.selectbox(key="block-player").set_value("MARA").run(), touches=2)
    form = {one.label.partition(" ")[0]: one for one in (*hand.app.selectbox, *hand.app.pills, *hand.app.number_input)}
    for label, value, touches in (("Setup", "BC", 2), ("Spin", "backspin", 1), ("Length", "long", 1)):
        form[label].set_value(value)
        hand.touches += touches
    form["Balls"].set_value(30)
    form["Good"].set_value(18)
    hand.touches += 2
    hand.presses("Save this block")

    hand.does(opened(empty_club, BOARD))
    assert board_rows(hand.app)["Mara Brook"], "she stands on the board"
    assert ask(empty_club, "select count(*) from core.players").item() == 12
    assert "All five steps are done" in words(opened(empty_club, STEPS))
    assert hand.touches <= MOST_TOUCHES, hand.touches
    print(f"touches: {hand.touches}")


def test_each_step_is_taken_back_on_its_own_and_then_waits_again(empty_club: DataFolder) -> None:
    hand = Hand(opened(empty_club, STEPS))
    hand.app.text_input(key="first-club-name-0").set_value("  ")
    hand.presses("Save name and colour")
    assert any("at least 1 character" in error.value for error in hand.app.error), "told at its field"

    hand.app.text_input(key="first-club-name-0").set_value("Riverside")
    hand.presses("Save name and colour")
    assert "1 of 5 steps done" in words(hand.app)
    hand.does(hand.app.segmented_control[0].set_value("The club").run())
    hand.presses("Take change 1 back")

    assert "0 of 5 steps done" in words(hand.app)
    assert empty_club.settings().club_name == "Our club"


def test_a_coordinator_of_an_empty_club_begins_with_the_first_steps(empty_club: DataFolder) -> None:
    app = AppTest.from_file(APP, default_timeout=60)
    app.user = user_of(empty_club)

    assert app.run().title[0].value == "First steps"
