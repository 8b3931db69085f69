"""Next session: the coach's page that makes a plan, changes it and keeps it, and what the player sees of it."""

import re
from datetime import date
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.questions import owners_desk
from dashboard.services import plans
from dashboard.serving import FOLDER_VARIABLE
from dashboard.words.cautions import IN_SHORT
from demo_data import stories
from models.permits import Role
from sql.folder import DataFolder
from tests.dashboard.shown import opened, shown, words
from tests.signing_in import user_of

NEXT_SESSION, MINE = "views/next_session.py", "views/my_training.py"
TODAY = date(2025, 3, 14)
FIELDS = ("number_input", "selectbox", "button_group", "segmented_control")


@pytest.fixture(autouse=True)
def small_clubs_day(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages of the small club are looked at three days after the last in its log."""
    if "small_club" in request.fixturenames:
        monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)
        monkeypatch.setattr("dashboard.views.plan_kept.today", lambda: TODAY)


def press(app: AppTest, label: str) -> AppTest:
    return next(button for button in app.button if button.label == label).click().run()


def on_the_bench(folder: DataFolder, player: str) -> AppTest:
    """The plan of a player, without the mix at its end."""
    return opened(folder, NEXT_SESSION, player).toggle(key="plan-closes").set_value(False).run()


def blocks(app: AppTest) -> list[str]:
    """The blocks that can be opened, in their order."""
    return [button.label for button in app.button if button.label.startswith("Block ")]


def open_block(app: AppTest, number: int) -> AppTest:
    return press(app, f"Block {number}")


def one_field(app: AppTest, name: str) -> Any:
    return next(one for kind in FIELDS for one in app.get(kind) if one.key == f"plan-field-{name}")


def said_by(app: AppTest) -> str:
    """What the page says, without the signs that keep Markdown from taking names for markup."""
    return words(app).replace("\\", "")


def kept_plan(folder: DataFolder, player: str = "ADA") -> plans.KeptPlan | None:
    return plans.next_kept(owners_desk(folder), player, TODAY)


def test_a_coach_sees_the_sum_the_blocks_with_why_and_what_to_mind_where_the_feeder_is_moved(small_club):
    app = on_the_bench(small_club, "ADA")

    said = said_by(app)
    assert "**3 blocks, 90 balls, about 11 minutes; the feeder is moved once.**" in said
    assert blocks(app) == ["Block 1", "Block 2", "Block 3"]
    assert re.search(r"Why: From [^.]+, topspin — never met\.", said)
    assert re.search(r"move \d+ cm", said)
    assert [one.value for one in app.warning] == [IN_SHORT], "told once for all moves"
    assert "Two people carry a heavy feeder" in said
    assert "Mixed practice usually looks worse on the day" in said


def test_for_a_later_day_the_plan_counts_from_it_and_says_that_the_log_is_old(small_club):
    app = on_the_bench(small_club, "ADA")
    assert "The log is old" not in said_by(app)

    app.date_input(key="plan-day").set_value(date(2025, 5, 1)).run()

    assert "The log is old: it ends on" in said_by(app)
    assert len(blocks(app)) == 6
    press(app, "Keep this plan for the table")
    kept = kept_plan(small_club)
    assert kept is not None
    assert kept.meant_for == date(2025, 5, 1)


def test_with_other_minutes_other_blocks_fit_and_what_does_not_is_said(small_club):
    """Two blocks of 2.6 minutes and a move of 3 fit into 9 minutes; for a third block 1.6 are missing."""
    app = on_the_bench(small_club, "ADA")

    app.number_input(key="plan-minutes").set_value(9).run()

    assert len(blocks(app)) == 2
    assert "Left out: no time is left for 1 kind of ball" in said_by(app)


def test_a_plan_is_kept_as_it_was_changed_warned_of_where_too_long_and_never_kept_empty(small_club):
    app = on_the_bench(small_club, "ADA")
    app.number_input(key="plan-minutes").set_value(11).run()
    one_field(app, "balls").set_value(100).run()
    press(open_block(app, 3), "Drop")
    assert "more than the session has" not in said_by(app)

    one_field(open_block(app, 1), "balls").set_value(400).run()
    assert "**2 blocks, 430 balls" in said_by(app)
    assert "That is 5 minutes more than the session has." in said_by(app)
    press(app, "Keep this plan for the table")

    kept = kept_plan(small_club)
    assert kept is not None
    assert (kept.balls, len(kept.blocks), kept.meant_for, kept.maker) == (430, 2, TODAY, "M. Roe")
    assert [one.value for one in app.success] == [
        "The plan is kept. The table offers its blocks first, and the player sees it."
    ]
    assert "For today, by M. Roe: 2 blocks, 430 balls" in said_by(app)

    press(press(app, "Drop"), "Drop")
    assert "**Every block is left out.**" in said_by(app)
    assert next(button for button in app.button if button.label.startswith("Keep")).disabled


def test_a_ball_is_changed_in_any_word_and_another_gap_takes_its_place(small_club):
    app = on_the_bench(small_club, "ADA")
    assert "1 kind of ball" not in said_by(app)

    one_field(app, "stroke").set_value("loop").run()
    one_field(app, "height").set_value("low").run()
    one_field(app, "spin_family").set_value("no_spin").run()
    said = said_by(app)
    assert "your choice" in said
    assert re.search(r"Left out: you took out 1 kind of ball \(from [^)]+, topspin\)", said)

    app.selectbox(key="plan-swap").select_index(0).run()
    assert "you took out" not in said_by(app)


def test_blocks_go_up_and_down_and_come_back_once_dropped(small_club):
    app = on_the_bench(small_club, "ADA")
    first = places(app)

    press(app, "Down")
    assert one_field(app, "place").value == first[0], "the block that was moved stays open"
    press(press(app, "Up"), "Drop")
    assert len(blocks(app)) == 2
    press(app, "Add")
    assert sorted(places(app)) == sorted(first)


def places(app: AppTest) -> list[str]:
    """Where each block is fed from, by opening one after the other; the first is open again at the end."""
    found = [one_field(open_block(app, number), "place").value for number in range(1, len(blocks(app)) + 1)]
    open_block(app, 1)
    return found


def test_what_must_be_in_stays_and_what_is_not_for_today_stays_out_when_planned_anew(small_club):
    app = open_block(on_the_bench(small_club, "ADA"), 3)
    next(one for one in app.toggle if one.label == "Must be in").set_value(True).run()
    assert next(button for button in app.button if button.label == "Drop").disabled
    press(open_block(app, 1), "Not today")
    assert "not for today, as you decided" in said_by(app)

    press(app, "Plan anew")

    said = said_by(app)
    assert "**2 blocks, 60 balls" in said
    assert "must be in" in said
    assert "not for today, as you decided, 1 kind of ball" in said


def test_balls_are_combined_with_how_far_each_changes_and_isolated_ones_come_first(small_club):
    app = on_the_bench(small_club, "ADA")

    press(app, "The same ball again, for another stroke")
    one_field(app, "stroke").set_value("push").run()
    press(app, "Ball 2")
    one_field(app, "stroke").set_value("flick").run()

    said = said_by(app)
    assert "2 balls in turn: push, then flick" in said
    assert "Ball 1 to 2: the same ball." in said
    press(app, "Keep this plan for the table")
    kept = kept_plan(small_club)
    assert kept is not None
    assert [kind.feed.get("stroke") for kind in kept.blocks[0].kinds] == ["push", "flick"]
    assert kept.blocks[0].order == "serial"


def test_a_kept_plan_can_be_taken_back(small_club):
    app = press(on_the_bench(small_club, "ADA"), "Keep this plan for the table")

    press(app, "Take this plan back")

    assert kept_plan(small_club) is None
    assert "Kept for the table" not in said_by(app)


def test_the_player_and_the_guardian_see_the_plan_without_why(small_club):
    desk = owners_desk(small_club)
    plans.keep(desk, "ADA", plans.proposed(desk, "ADA", 60, TODAY).plan, TODAY, TODAY)

    mine = said_by(opened(small_club, MINE, "ADA"))
    ward = said_by(
        opened(small_club, MINE, "ADA", user=user_of(small_club, "G. Lind", Role.GUARDIAN, players=["ADA", "BEN"]))
    )
    others = said_by(opened(small_club, MINE, "BEN"))

    for said in (mine, ward):
        assert "Planned for the next session" in said
        assert "30 balls from near the net, topspin: near centre (NC)" in said
    assert "Planned for the next session" not in others


@pytest.mark.parametrize("role", [Role.PLAYER, Role.GUARDIAN])
def test_the_page_is_closed_to_players_and_guardians(small_club, role: Role):
    app = opened(small_club, NEXT_SESSION, "ADA", user=user_of(small_club, "Ada", role, players=["ADA"]))

    assert "This page is not open to you." in app.error[0].value
    assert not app.button


def test_a_coach_of_another_group_is_refused_on_the_page(small_club):
    user = user_of(small_club, "C. Other", Role.COACH, groups=["Seniors"])

    app = opened(small_club, NEXT_SESSION, "ADA", user=user)

    assert "The data of this player are not open to you." in app.error[0].value
    assert not blocks(app)


def test_who_is_new_gets_a_plan_too(demo_club):
    """The newcomer has hit 14 balls; what was never met is known without any success rate."""
    newcomer = said_by(shown(demo_club, NEXT_SESSION, stories.NEWCOMER.player))

    assert "never met" in newcomer
    assert "Left out: no time is left for" in newcomer


def test_a_long_session_ends_with_a_mix_in_an_order_that_is_drawn_and_kept(demo_club, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(demo_club.path))
    app = opened(demo_club, NEXT_SESSION, stories.ALL_ROUNDER.player)

    press(app, blocks(app)[-1])
    said = said_by(app)

    assert re.search(r"Closing mix of \d balls", said)
    assert "The order was drawn once and is kept" in said
    assert not [one for one in app.number_input if one.key == "plan-field-balls"]
    app.toggle(key="plan-closes").set_value(False).run()
    assert "Closing mix" not in said_by(app)


def test_without_a_player_the_page_asks_for_one(small_club):
    assert "Pick the player whose next session you want to plan." in words(opened(small_club, NEXT_SESSION))
