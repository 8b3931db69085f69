"""Next session: the coach's page that makes a plan, changes it and keeps it, and what the player sees of it."""

from datetime import date

import pytest
from streamlit.testing.v1 import AppTest
from streamlit.testing.v1.element_tree import NumberInput

from dashboard import questions
from dashboard.questions import owners_desk
from dashboard.services import plans
from demo_data import stories
from models.permits import Role
from sql.folder import DataFolder
from tests.dashboard.shown import opened, shown, words
from tests.signing_in import user_of

NEXT_SESSION, MINE = "views/next_session.py", "views/my_training.py"
TODAY = date(2025, 3, 14)


@pytest.fixture(autouse=True)
def small_clubs_day(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pages of the small club are looked at three days after the last in its log."""
    if "small_club" in request.fixturenames:
        monkeypatch.setattr("ingest.club_day.today", lambda: TODAY)
        monkeypatch.setattr("dashboard.views.plan_kept.today", lambda: TODAY)


def press(app: AppTest, label: str) -> AppTest:
    return next(button for button in app.button if button.label == label).click().run()


def fields(app: AppTest) -> list[NumberInput]:
    return [field for field in app.number_input if field.label.startswith("Balls")]


def numbers(app: AppTest) -> dict[str, int]:
    return {field.label: field.value for field in fields(app)}


def said_by(app: AppTest) -> str:
    """What the page says, without the signs that keep Markdown from taking names for markup."""
    return words(app).replace("\\", "")


def kept_plan(folder: DataFolder, player: str = "ADA") -> plans.KeptPlan | None:
    return plans.next_kept(owners_desk(folder), player, TODAY)


def test_a_coach_sees_the_sum_the_blocks_with_why_and_what_to_mind_where_the_feeder_is_moved(small_club):
    app = opened(small_club, NEXT_SESSION, "ADA")

    said = said_by(app)
    assert "**3 blocks, 90 balls, about 11 minutes; the feeder is moved once.**" in said
    assert "From near the net, topspin — never met" in said
    assert numbers(app) == {"Balls, block 1": 30, "Balls, block 2": 30, "Balls, block 3": 30}
    assert [("cm" in one.value, "Off and unplugged" in one.value) for one in app.warning] == [(True, True)]
    assert "Two people carry a heavy feeder" in said
    assert "Mixed practice usually looks worse on the day" in said


def test_for_a_later_day_the_plan_counts_from_it_and_says_that_the_log_is_old(small_club):
    app = opened(small_club, NEXT_SESSION, "ADA")
    assert "The log is old" not in said_by(app)

    app.date_input(key="plan-day").set_value(date(2025, 5, 1)).run()

    assert "The log is old: it ends on" in said_by(app)
    assert len(numbers(app)) == 6
    press(app, "Keep this plan for the table")
    kept = kept_plan(small_club)
    assert kept is not None
    assert kept.meant_for == date(2025, 5, 1)


def test_with_other_minutes_other_blocks_fit_and_what_does_not_is_said(small_club):
    """Two blocks of 2.6 minutes and a move of 3 fit into 9 minutes; for a third block 1.6 are missing."""
    app = opened(small_club, NEXT_SESSION, "ADA")

    app.number_input(key="plan-minutes").set_value(9).run()

    assert len(numbers(app)) == 2
    assert "Left out: no time is left for 1 kind of ball" in said_by(app)


def test_a_plan_is_kept_as_it_was_changed_warned_of_where_too_long_and_never_kept_empty(small_club):
    app = opened(small_club, NEXT_SESSION, "ADA")
    first, _, third = fields(app)
    first.set_value(100)
    third.set_value(0)
    app.number_input(key="plan-minutes").set_value(11).run()
    assert "more than the session has" not in said_by(app)

    fields(app)[0].set_value(400).run()
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

    for field in fields(app):
        field.set_value(0)
    app.run()
    assert "**Every block is left out.**" in said_by(app)
    assert next(button for button in app.button if button.label.startswith("Keep")).disabled


def test_a_kept_plan_can_be_taken_back(small_club):
    app = press(opened(small_club, NEXT_SESSION, "ADA"), "Keep this plan for the table")

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
    assert not numbers(app)


def test_who_is_new_gets_a_plan_too(demo_club):
    """The newcomer has hit 14 balls; what was never met is known without any success rate."""
    newcomer = said_by(shown(demo_club, NEXT_SESSION, stories.NEWCOMER.player))

    assert "never met" in newcomer
    assert "Left out: no time is left for" in newcomer


def test_weak_balls_of_one_place_and_tempo_are_mixed_and_each_can_be_changed(demo_club, monkeypatch):
    """Here for a player who lacks nothing else."""
    every_gap = questions.feed_next
    monkeypatch.setattr(
        questions, "feed_next", lambda *asked: tuple(gap for gap in every_gap(*asked) if gap.why == "weak")
    )

    app = shown(demo_club, NEXT_SESSION, stories.ALL_ROUNDER.player)

    assert any(label.endswith(", ball 2") for label in numbers(app))
    assert "mixed: the player cannot know which ball comes next" in words(app)


def test_without_a_player_the_page_asks_for_one(small_club):
    assert "Pick the player whose next session you want to plan." in words(opened(small_club, NEXT_SESSION))
