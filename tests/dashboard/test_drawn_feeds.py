"""Balls of the log's words as drawings: from where the setup stands, to the hand of the player, whatever is said."""

from dataclasses import replace

import pytest

from dashboard.at_table.drawn_feeds import drawn_feed
from dashboard.drawings.ball_drawing import ball_drawing, way_of
from dashboard.drawings.balls import Ball
from dashboard.rows.feeding import MetSetupRow
from models.settings import Settings
from models.stance import Place
from models.worth import band_of
from sql.folder import DataFolder
from sql.warehouse import ask

SETTINGS = Settings()
LEFT = MetSetupRow("ML", "middle left", "middle", "backhand", 60.0, -50.0)
SHORT_BACKSPIN = {"setup": "ML", "spin": "backspin", "length": "short", "tempo_bpm": 30}


def test_the_feeder_is_drawn_where_its_setup_stands_and_the_ball_as_its_words_say():
    ball = Ball(spin="backspin", length="short", tempo_band="slow")
    way = way_of(ball, "left", Place(60.0, -50.0))

    assert drawn_feed(SHORT_BACKSPIN, LEFT, "left", SETTINGS) == ball_drawing(
        ball, 76, hand="left", way=way, alternative=None
    )


def test_a_feeder_far_from_the_table_is_drawn_at_the_edge():
    far_off = replace(LEFT, x_cm=-150.0, y_cm=-200.0)

    assert drawn_feed(SHORT_BACKSPIN, far_off, "right", SETTINGS) == drawn_feed(
        SHORT_BACKSPIN, replace(LEFT, x_cm=-20.0, y_cm=-78.0), "right", SETTINGS
    )


@pytest.mark.parametrize(
    "feed", [{}, {"spin": "no such word", "setup": "<b>"}, {"spin": 3.5, "tempo_bpm": "<b>"}, {"stroke": "push"}]
)
def test_what_is_not_a_word_of_the_log_is_not_drawn(feed):
    """A phone may send anything."""
    assert drawn_feed(feed, None, "right", SETTINGS) == ball_drawing(Ball(), 76, alternative=None)


def test_a_tempo_has_the_band_that_the_log_gives_it(demo_club: DataFolder):
    logged = ask(demo_club, "select distinct tempo_bpm, tempo_band from core.fed_lines where tempo_bpm is not null")
    tempos = {40.0: "medium", 39.9: "slow", 59.9: "medium", 60.0: "fast"} | dict(logged.iter_rows())

    assert {band for _, band in logged.iter_rows()} == {"slow", "medium", "fast"}
    assert {bpm: band_of(bpm, SETTINGS) for bpm in tempos} == tempos
