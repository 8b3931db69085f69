"""Compare: the verdict in words with counts and range, and a sentence wherever there is nothing to compare."""

import re
from datetime import date, timedelta

import pytest

from dashboard.words import compare as compare_words
from demo_data import stories
from models.compare import Comparison, EqualVariety, Side
from models.estimates import Estimate
from models.settings import Settings
from sql.folder import DataFolder
from tests.dashboard.shown import opened, words

COMPARE = "views/compare.py"
TODAY = date(2026, 11, 20)


def found(verdict: str, difference: Estimate | None = None) -> Comparison:
    side = Side(300, 200, Estimate(0.66, 0.6, 0.72))
    detectable = None if difference is None else 0.1
    return Comparison(("a", "b"), side, side, difference, detectable, verdict)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("comparison", "said"),
    [
        (
            found("first", Estimate(0.2, 0.1, 0.3)),
            "**Ada lands more**: 20 more in 100 than Ben (range 10 to 30 more in",
        ),
        (found("other", Estimate(-0.2, -0.3, -0.1)), "**Ben lands more**: Ada lands 20 fewer in 100"),
        (found("alike", Estimate(0.0, -0.01, 0.01)), "**Alike**: the difference is less than"),
        (found("not_clear", Estimate(0.1, -0.1, 0.3)), "**Too close to tell**"),
        (found("too_few"), "**Not enough balls yet**: 300 balls and 300 balls on 2 kinds of ball that both met"),
        (found("nothing_in_common"), "**Nothing to compare**: Ada and Ben have no wanted kind of ball in common."),
    ],
)
def test_every_verdict_is_said_with_its_counts(comparison: Comparison, said: str) -> None:
    assert compare_words.verdict(comparison, "Ada", "Ben", Settings()).startswith(said)


def test_periods_end_with_the_log_and_follow_each_other() -> None:
    told = compare_words.periods(TODAY, Settings())
    now, before = told["the last 28 days"], told["the 28 days before those"]

    assert now == (TODAY - timedelta(days=27), TODAY)
    assert before[1] + timedelta(days=1) == now[0]
    assert not compare_words.overlap(now, before)
    assert compare_words.overlap(now, told["all of the log"])


def chosen(club: DataFolder, first: str, other: str):
    app = opened(club, COMPARE)
    app.query_params["player"] = first
    app.query_params["beside"] = other
    return app


def test_two_players_are_compared_on_the_page(demo_club: DataFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HALFLONG_SERVED_DATA", str(demo_club.path))
    said = words(chosen(demo_club, stories.RISER.player, stories.NOISY.player).run())

    assert "that both met)" in said
    assert said.count("in 100, range ") == 2
    assert re.search(r"The \d+ kinds of ball that both met", said)
    assert re.search(r"from the \w+, \w+(?: side)? \d+ in 100 \d+ to \d+; \d+ of \d+ \d+ in 100 \d+ to \d+", said)
    assert re.search(r"Variety at equal balls\*\*: [\d,]+ balls of .+ would hold about [\d.]+ kinds", said)


def test_whoever_trains_in_the_same_group_is_one_touch_away_and_so_is_the_same_player_before(
    demo_club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HALFLONG_SERVED_DATA", str(demo_club.path))
    app = opened(demo_club, COMPARE)
    app.query_params["player"] = stories.RISER.player
    offered = [button.label for button in app.run().button]
    assert offered[-1].endswith("the 26 weeks before those")

    said = words(app.button(key="beside-before").click().run())
    assert "in the last 26 weeks" in said
    assert "in the 26 weeks before those" in said


def test_variety_is_told_at_as_many_balls_of_each_or_not_at_all() -> None:
    told = compare_words.variety(EqualVariety(240, 11.24, 8.46), "Ada", "Ben")

    assert told == (
        "**Variety at equal balls**: 240 balls of Ada would hold about 11.2 kinds of ball, and as many of Ben about "
        "8.5."
    )
    assert compare_words.variety(None, "Ada", "Ben") == ""


def test_the_same_balls_are_not_compared_with_themselves(
    small_club: DataFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HALFLONG_SERVED_DATA", str(small_club.path))
    app = chosen(small_club, "ADA", "ADA").run()

    assert "These are the same balls" in words(app)
    app.selectbox[3].select("the 26 weeks before those").run()
    assert "Nothing to compare" in words(app)
