"""The club's lists changed on the screen: each save is a batch, shows what it changes, and can be taken back."""

import shutil
from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard import questions
from dashboard.questions import Desk
from dashboard.services import lists
from models.mix import mix_of, target_lines
from models.permits import Role
from sql.folder import DataFolder
from sql.same_tables import different_tables
from sql.warehouse import ask
from tests.dashboard.shown import opened, words
from tests.signing_in import user_of

TODAY = date(2025, 3, 14)
WANTED, PLACES, PLAYERS = "views/wanted.py", "views/places.py", "views/who_plays.py"


@pytest.fixture(autouse=True)
def small_clubs_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)


def press(app: AppTest, label: str) -> AppTest:
    app = next(button for button in app.button if button.label == label).click().run()
    assert not app.exception, app.exception
    return app


def as_coach(folder: DataFolder, view: str) -> AppTest:
    return opened(folder, view, user=user_of(folder, "M. Roe", Role.COACH, groups=["Juniors"]))


@pytest.fixture
def before(small_club: DataFolder, tmp_path: Path) -> Path:
    """What was published before anything was changed."""
    return shutil.copy(published(small_club), tmp_path / "before.duckdb")


def published(folder: DataFolder) -> Path:
    file = folder.publication_in_force()
    assert file is not None
    return file


def test_a_mix_shows_what_it_changes_before_it_is_saved_and_can_be_taken_back(
    small_club: DataFolder, before: Path
) -> None:
    app = opened(small_club, WANTED)
    assert "6 combinations." in words(app)
    assert "Save this mix" not in [button.label for button in app.button], "nothing is changed yet"

    app.slider(key="wanted-*-0-depth-near").set_value(0).run()
    assert "4 combinations." in words(app)
    app = press(app, "Show what changes")
    shown = app.dataframe[0].value.to_dict("records")
    assert shown[0] == {"Player": "Ada Lind", "Now": "3 of 6", "Then": "3 of 4"}
    app = press(app, "Save this mix")

    assert "Saved: 3 lines, as batch 6." in app.success[0].value
    now = ask(small_club, "select player_id, cells, cells_covered from report.variety where week = date '2025-03-10'")
    assert ("ADA", 4, 3) in now.rows()
    app = press(app, "Take batch 6 back")
    assert "Batch 6 is taken back" in app.success[0].value
    assert different_tables(before, published(small_club)) == ("core.batches",), "the same bits"


def test_what_is_shown_is_what_comes(small_club: DataFolder, desk_of: Desk) -> None:
    in_force = {(r.target, r.dimension, r.value): r.share for r in questions.wanted_of_all(desk_of, "*")}
    mix = mix_of((d, v, s) for (_, d, v), s in in_force.items()) | {
        "length": {"short": 1.0, "half_long": 0, "long": 3.0}
    }
    lines = target_lines(mix, "*", in_force)

    shown = [then for _, then in lists.covered_if(desk_of, "targets", lines, today=TODAY)]
    lists.save(desk_of, "targets", lines, today=TODAY)

    assert tuple(shown) == questions.covered_now(desk_of)
    assert {row.cells for row in shown} == {12}


@pytest.fixture
def desk_of(small_club: DataFolder) -> Desk:
    return questions.owners_desk(small_club)


def test_a_coach_sets_what_their_own_players_train_and_nobody_elses(small_club: DataFolder) -> None:
    app = as_coach(small_club, WANTED)
    offered = app.selectbox(key="wanted-for").options
    assert offered == ["Group Juniors", "Ada Lind (ADA)", "Ben Orr (BEN)"]
    assert "no mix of their own yet" in words(app)

    app.slider(key="wanted-Juniors-0-depth-near").set_value(0).run()
    app = press(press(app, "Show what changes"), "Save this mix")

    receivers = ask(small_club, "select distinct player_id, applies_to from core.player_targets order by all")
    assert receivers.rows() == [("ADA", "Juniors"), ("BEN", "Juniors"), ("CLEO", "*"), ("DAN", "*")]
    app = press(app, "Take their own mix out")
    receivers = ask(small_club, "select distinct applies_to from core.player_targets")
    assert receivers.rows() == [("*",)]


@pytest.mark.parametrize("role", [Role.PLAYER, Role.GUARDIAN])
@pytest.mark.parametrize("view", [WANTED, PLACES, PLAYERS])
def test_players_and_guardians_change_no_list(small_club: DataFolder, role: Role, view: str) -> None:
    app = opened(small_club, view, user=user_of(small_club, "Ada", role, players=["ADA"]))

    assert "This page is not open to you" in app.error[0].value


def test_a_place_that_cannot_be_says_so_below_its_field_and_nothing_typed_is_lost(small_club: DataFolder) -> None:
    app = opened(small_club, PLACES)
    app.text_input(key="setups-new-setup-0").set_value("FL")
    app.text_input(key="setups-new-name-0").set_value("far left")
    app.number_input(key="setups-new-x_cm-0").set_value(500.0)
    app = press(app, "Save this setup")

    told = [error.value for error in app.error]
    assert told[0] == "Nothing is saved yet: what is wrong stands below its field."
    assert any("500" in one and "from \\-560 to 136" in one for one in told)
    assert any("there is nothing yet" in one for one in told), "y_cm is empty"
    assert app.text_input(key="setups-new-name-0").value == "far left"

    app.number_input(key="setups-new-x_cm-0").set_value(-60.0)
    app.number_input(key="setups-new-y_cm-0").set_value(-40.0)
    app = press(app, "Save this setup")

    assert "Saved: 1 line, as batch 6." in app.success[0].value
    assert ask(small_club, "select x_cm, y_cm from core.setups where setup_id = 'FL'").rows() == [(-60, -40)] * 2


def test_a_new_place_never_takes_the_place_of_one_with_its_code(small_club: DataFolder) -> None:
    app = opened(small_club, PLACES)
    app.text_input(key="setups-new-setup-0").set_value("BC")
    app.number_input(key="setups-new-x_cm-0").set_value(10.0)
    app.number_input(key="setups-new-y_cm-0").set_value(10.0)
    app = press(app, "Save this setup")

    assert any("a code that is not there yet" in error.value for error in app.error)


def test_a_setup_that_moves_keeps_its_earlier_place_for_the_days_before(small_club: DataFolder) -> None:
    app = as_coach(small_club, PLACES)
    app.selectbox(key="which-setups").set_value("BC").run()
    app.number_input(key="setups-of-BC-x_cm-0").set_value(60.0)
    app.date_input(key="setups-of-BC-valid_from-0").set_value(date(2025, 3, 10))
    app = press(app, "Save this setup")

    assert "as batch 6" in app.success[0].value, "only the coach's own players were fed from there"
    fed = ask(small_club, "select distinct session_date, depth from core.fed_lines where setup_id = 'BC' order by all")
    assert fed.rows() == [(date(2025, 3, 4), "back"), (date(2025, 3, 11), "middle")]
    app = press(app, "Take batch 6 back")
    fed = ask(small_club, "select distinct depth from core.fed_lines where setup_id = 'BC'")
    assert fed.rows() == [("back",)]


def test_a_form_that_says_again_what_it_said_before_undoes_what_was_said_between(desk_of: Desk) -> None:
    def moved_to(x_cm: float) -> int | None:
        return lists.save(desk_of, "setups", [{"setup": "NC", "x_cm": x_cm, "y_cm": 0.0}], today=TODAY).batch

    assert [moved_to(100.0), moved_to(95.0), moved_to(100.0), moved_to(100.0)] == [6, 7, 8, None]
    assert {row.x_cm for row in questions.listed_setups(desk_of) if row.setup == "NC"} == {100.0}


def test_a_club_without_players_pastes_a_list_and_takes_it_back(empty_club: DataFolder) -> None:
    app = opened(empty_club, PLAYERS)
    assert list(app.segmented_control[0].options) == ["Add players"]

    app.text_area(key="players-added-text-0").input("Mara Brook\nIlya Stone, left\nTove Marsh, Minis, 2012").run()
    app = press(app, "Save 3 players")

    assert "Saved: 3 lines, as batch 1." in app.success[0].value
    saved = ask(empty_club, "select player_id, name, handedness, group_name, birth_year from core.players order by 1")
    assert saved.rows() == [
        ("ILYA", "Ilya Stone", "left", None, None),
        ("MARA", "Mara Brook", "right", None, None),
        ("TOVE", "Tove Marsh", "right", "Minis", 2012),
    ]
    app = press(app, "Take batch 1 back")
    assert ask(empty_club, "select count(*) from core.players").item() == 0


def test_a_change_of_hand_counts_from_its_day_and_taking_it_back_gives_the_same_bits(
    small_club: DataFolder, before: Path
) -> None:
    app = opened(small_club, PLAYERS)
    app.segmented_control[0].set_value("Change one").run()
    app.selectbox(key="which-players").set_value("ADA").run()
    app.pills(key="players-of-ADA-handedness-0").set_value("left")
    app.date_input(key="players-of-ADA-hand_since-0").set_value(date(2025, 3, 10))
    app.number_input(key="players-of-ADA-birth_year-0").set_value(12)
    app = press(app, "Save this player")
    assert any("a whole number from 1900 to 2100" in error.value for error in app.error)
    assert app.date_input(key="players-of-ADA-hand_since-0").value == date(2025, 3, 10), "nothing typed is lost"

    app.number_input(key="players-of-ADA-birth_year-0").set_value(2012)
    app = press(app, "Save this player")

    fed = ask(small_club, "select distinct session_date, handedness from core.fed_lines where player_id = 'ADA'")
    assert sorted(fed.rows()) == [(date(2025, 3, 4), "right"), (date(2025, 3, 11), "left")]
    moved = ask(small_club, "select side from core.fed_lines where player_id = 'ADA' and setup_id = 'MR'")
    assert moved.item() == "backhand"
    press(app, "Take batch 6 back")
    assert different_tables(before, published(small_club)) == ("core.batches",), "the same bits"


def test_several_move_to_another_group_at_once_and_nobody_else_is_touched(small_club: DataFolder) -> None:
    app = opened(small_club, PLAYERS)
    app.segmented_control[0].set_value("Move to a group").run()
    app.multiselect(key="moved-0").set_value(["ADA", "BEN"]).run()
    app.selectbox(key="moved-to-0").set_value("Seniors").run()
    app = press(app, "Move them")

    assert "Saved: 2 lines" in app.success[0].value
    groups = ask(small_club, "select distinct group_name from core.players").rows()
    assert groups == [("Seniors",)]
    app.segmented_control[0].set_value("Whole list").run()
    grid = app.data_editor[0].value
    assert grid["player"].to_list() == ["ADA", "BEN", "CLEO", "DAN"]
    assert next(button for button in app.button if button.label == "Save the list").disabled


SETTINGS = "views/club_settings.py"


def test_a_place_that_was_tried_on_the_drawing_is_saved_as_a_setup(small_club: DataFolder) -> None:
    app = as_coach(small_club, "views/setups.py")
    assert "Save this place" not in [one.label for one in app.expander], "it is a setup already"
    app.selectbox(key="setups-stands").set_value("Another place …").run()
    app.number_input(key="setups-stands-x").set_value(-45.0).run()
    app.text_input(key="setups-place-setup-0").set_value("BC")
    app = press(app, "Save it as a setup")
    assert any("a code that is not there yet" in error.value for error in app.error)

    app.text_input(key="setups-place-setup-0").set_value("FB")
    app = press(app, "Save it as a setup")

    assert "Saved: 1 line" in app.success[0].value
    assert ask(small_club, "select distinct x_cm, y_cm from core.setups where setup_id = 'FB'").rows() == [(-45.0, 0.0)]


def test_a_setting_shows_what_it_changes_and_taking_it_back_gives_the_same_bits(
    small_club: DataFolder, before: Path
) -> None:
    app = opened(small_club, SETTINGS)
    app.number_input(key="setting-covered_balls-0").set_value(0).run()
    app = press(app, "Save these settings")
    assert any("greater than or equal to 1" in error.value for error in app.error)
    assert app.number_input(key="setting-covered_balls-0").value == 0, "nothing typed is lost"

    app.number_input(key="setting-covered_balls-0").set_value(50).run()
    app = press(app, "Show what changes")
    told = dict(app.dataframe[0].value.itertuples(index=False))
    assert any("varied" in title for title in told), told
    assert published(small_club).name == "000001.duckdb", "nothing counts yet"
    app = press(app, "Save these settings")

    assert "Saved, as change 1." in app.success[0].value
    assert small_club.settings().covered_balls == 50
    assert ask(small_club, "select max(cells_covered) from report.variety").item() < 3
    app = press(app, "Take change 1 back")
    assert small_club.settings().covered_balls == 10
    assert different_tables(before, published(small_club)) == ()
