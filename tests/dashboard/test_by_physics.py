"""What the coach sees of a player's balls in physical terms: from which angles they came, and how soon."""

import pytest

from dashboard import questions
from dashboard.questions import Desk, owners_desk
from dashboard.words.phrases import phrase
from demo_data.stories import BACK_CENTRE_ONLY, LEFT_HANDED
from sql.folder import DataFolder
from tests.dashboard.shown import rows, shown, words

ONE_PLAYER = "views/one_player.py"
TITLES = {"angle": "The ball comes", "time": "Time to contact"}


@pytest.fixture
def desk(demo_club: DataFolder) -> Desk:
    return owners_desk(demo_club)


def bands(desk: Desk, player: str, measure: str) -> dict[str, tuple[int, int]]:
    """The table of a measure on a player's page: for each band its balls, of how many."""
    found = [rows(html.value) for html in shown(desk.folder, ONE_PLAYER, player).html]
    (table,) = (table for table in found if table and table[0][0] == TITLES[measure])
    counts = {band: cell.replace(",", "").split(" of ") for band, cell, _ in table[1:]}
    return {band: (int(balls), int(fed)) for band, (balls, fed) in counts.items()}


def test_who_is_fed_from_one_spot_is_seen_to_meet_hardly_a_sharp_angle(desk: Desk) -> None:
    """The planted story: from the back centre even the far corners lie within 15 degrees."""
    angles = bands(desk, BACK_CENTRE_ONLY.player, "angle")

    sharp = sum(angles[f"sharply from the {side}"][0] for side in ("forehand", "backhand"))
    assert 20 * sharp < angles["straight"][1]


@pytest.mark.parametrize("measure", TITLES)
def test_every_band_stands_there_with_its_balls_of_all(desk: Desk, measure: str) -> None:
    answers = questions.physical_coverage(desk, questions.weeks(desk)[0], LEFT_HANDED.player, measure)
    fed = sum(row.balls for row in answers)

    assert fed > 0
    assert bands(desk, LEFT_HANDED.player, measure) == {
        phrase(f"{measure}_band", row.band): (row.balls, fed) for row in answers
    }


def test_balls_of_doubtful_length_are_counted_and_what_they_would_be_is_told(desk: Desk) -> None:
    """In the demo club, as in the trade, these are topspin balls that are said to be short or half-long."""
    week = questions.weeks(desk)[0]
    of_players = {one.player_id: questions.most_doubtful(desk, week, one.player_id) for one in questions.players(desk)}
    player, most = next((player, row) for player, row in of_players.items() if row and row.length_by_physics)
    said = words(shown(desk.folder, ONE_PLAYER, player))

    assert f"**{most.doubtful_balls:,} balls in this window are of doubtful length**, most of them " in said
    assert f", which by every calculation would be {most.length_by_physics}. The log keeps the word" in said
    without = next(player for player, row in of_players.items() if row is None)
    assert "doubtful" not in words(shown(desk.folder, ONE_PLAYER, without))
