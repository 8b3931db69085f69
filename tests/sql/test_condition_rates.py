"""How hard a kind of ball is, told by club mates who are not alike: no published value, but the truth is planted."""

import pytest

from tests.sql.clubs import a_club
from tests.sql.judged_clubs import fill

STRONG, WEAK = 64, 32
"""Good balls of eighty, of whatever kind: no kind is harder than another."""


def test_a_kind_that_strong_players_met_more_does_not_look_easier():
    """The weak are fed short balls, the strong as many long ones besides: four of five good against a plain six of ten.

    By the plain rates of club mates the long ball would look easier by twelve in a hundred.
    """
    lines = [
        {"player": player, "length": length, "balls": balls, "good": balls * good // 80}
        for player, length, balls, good in (
            *(("S", "short", 80, STRONG), ("S", "long", 80, STRONG), ("R", "short", 80, STRONG)),
            *(("R", "long", 80, STRONG), ("V", "short", 80, WEAK), ("W", "short", 80, WEAK), ("W", "long", 10, WEAK)),
        )
    ]
    with a_club() as club:
        fill(club, {}, lines).build("core.condition_rates")
        long, short = (
            club.row("core.condition_rates", where=f"player_id = 'W' and condition like '%{word}%'")
            for word in ("long", "short")
        )

    assert (long["others_balls"], short["others_balls"]) == (160, 240)
    assert long["expected_rate"] == pytest.approx(short["expected_rate"], abs=0.02)
