"""My training: what a player is told, in plain words, of the own training only."""

import pytest
from streamlit.testing.v1 import AppTest

from demo_data import stories
from models.permits import Role
from sql.folder import DataFolder
from tests.dashboard.shown import opened, shown, words
from tests.signing_in import user_of

MINE = "views/my_training.py"


def told(demo_club, story: stories.Story) -> str:
    return words(shown(demo_club, MINE, story.player))


def by_a_guardian(folder: DataFolder) -> AppTest:
    """The page as it opens for a guardian of Ada and Ben."""
    return opened(folder, MINE, user=user_of(folder, "G. Lind", Role.GUARDIAN, players=["ADA", "BEN"]))


def test_a_guardian_picks_one_of_the_own_players_before_anything_is_shown(small_club):
    app = by_a_guardian(small_club)

    assert "Pick the player whose training you want to see." in words(app)
    assert app.selectbox[0].options == ["Ada Lind · Juniors", "Ben Orr · Juniors"]
    assert not [*app.header, *app.subheader]


@pytest.mark.parametrize(
    ("story", "sentences"),
    [
        (
            stories.BACK_CENTRE_ONLY,
            (
                "Of the 54 kinds of ball on your plan you met 6 well: 10 balls or more of each.",
                "On your plan you met only balls from the back.",
                "Not met yet: balls from the middle, balls from near the net, balls from your forehand side and balls "
                "from your backhand side.",
            ),
        ),
        (stories.SPIN_TIED_TO_DEPTH, ("what is missing are some of them together.",)),
        (
            stories.BACKSPIN_ONLY,
            ("On your plan you met only backspin balls.", "Not met yet: balls without spin and topspin balls."),
        ),
        (
            stories.RISER,
            (
                "You are getting better: about 35 more in 100 land than at the start, on balls equally hard.",
                "(25 May to 18 November: 11,049 balls in 59 sessions.)",
            ),
        ),
        (
            stories.NOISY,
            ("It goes up and down, as it does for everybody; whether it is rising cannot be told yet.",),
        ),
        (
            stories.FALLS_AT_CHANGES,
            (
                "You keep your level, on balls equally hard.",
                "fast tempo — never met",
            ),
        ),
        (
            stories.ABSENT,
            (
                "There is no log of your training since 14 October",
                "If you did train, tell your coach that the log is missing.",
            ),
        ),
        (stories.NEWCOMER, ("you hit 14 balls in 1 session.", "not enough balls yet to say more: it takes 20.")),
        (
            stories.ALL_ROUNDER,
            ("you met 51 well", "From near the net, backhand side, topspin, fast tempo — never met"),
        ),
        (
            stories.ONE_TEMPO,
            ("On your plan you met only balls at a slow tempo.", "Not met yet: balls at a fast tempo."),
        ),
    ],
    ids=lambda value: value.player if isinstance(value, stories.Story) else "",
)
def test_a_planted_story_is_told_to_its_player(demo_club, story: stories.Story, sentences: tuple[str, ...]):
    said = told(demo_club, story)

    assert [sentence for sentence in sentences if sentence not in said] == []


def test_success_stands_with_its_counts_and_range(demo_club):
    said = told(demo_club, stories.BACK_CENTRE_ONLY)

    assert "65 in 100 of your balls landed where the drill asked (628 of 965)." in said
    assert "The true figure lies plausibly in the range 59 to 71." in said
    assert "Backspin balls: 55 in 100 landed (127 of 230)." in said


def test_the_newcomer_is_shown_no_rate(demo_club):
    said = told(demo_club, stories.NEWCOMER)

    assert "How it goes" not in said
    assert "in 100" not in said


@pytest.mark.parametrize("story", stories.STORIES, ids=lambda story: story.player)
def test_nothing_is_called_stale_and_nobody_reads_guidance_for_the_coach(demo_club, story: stories.Story):
    said = told(demo_club, story).lower()

    assert "stale" not in said
    assert "guidance" not in said
    assert "p value" not in said


def test_a_player_is_compared_with_nobody(demo_club):
    """No other player's name, no rank and no club mean stands on the page."""
    said = told(demo_club, stories.ALL_ROUNDER).lower()

    assert [
        word for word in ("walt", "embrick", "ranked", "rank of", "average", "than others", "club mean") if word in said
    ] == []


def test_picking_a_name_shows_that_player(small_club):
    app = by_a_guardian(small_club)

    app.selectbox[0].select("Ada Lind · Juniors").run()

    assert "In the last 28 days of the log you hit 160 balls in 2 sessions." in words(app)


def test_a_player_without_any_log_is_told_so(small_club):
    assert "There is no log of your training yet." in words(shown(small_club, MINE, "CLEO"))


def test_an_empty_club_is_told_what_to_begin_with(empty_club):
    app = opened(empty_club, MINE, "ADA")

    assert not app.exception
    assert "Nothing is loaded yet." in words(app)
