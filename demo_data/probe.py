"""A fixed test set that two players sat: before, on the same day after practice, and months later."""

from collections.abc import Iterator
from datetime import date
from math import exp
from typing import Any

from demo_data.dice import dice
from demo_data.people import PLAYERS, hall_of
from demo_data.season import BLOCK_SPREAD
from demo_data.stories import NOISY, RISER
from models.records import SessionLine

PROBE = "two corners"

SITTINGS = (
    (date(2026, 6, 17), "test", {RISER.player: -0.1, NOISY.player: 0.5}),
    (date(2026, 6, 17), "test after practice", {RISER.player: -0.2, NOISY.player: 0.6}),
    (date(2026, 11, 4), "test", {RISER.player: 1.5, NOISY.player: 0.4}),
)
"""Day, label, and what each player can truly do on it, in log-odds of a good ball."""

KINDS = (
    ("BL", "backspin", "short", "backhand", "push"),
    ("BL", "topspin", "long", "forehand", "drive"),
    ("NR", "backspin", "long", "forehand", "loop"),
    ("NR", "no_spin", "short", "middle", "flick"),
    ("MC", "topspin", "long", "backhand", "block"),
    ("MC", "backspin", "half_long", "middle", "loop"),
)
"""Setup, spin, length, placement and stroke of each block, the same at every sitting."""

ALIKE: dict[str, Any] = {
    "order": "blocked",
    "feed": 1,
    "sidespin": "none",
    "height": "low",
    "tempo_bpm": 40,
    "probe": PROBE,
    "balls": 25,
    "minutes": 1,
    **dict.fromkeys(("net", "long", "wide", "missed", "effort", "note")),
}
"""What is the same of every block, whose mistakes nobody wrote down."""


def probe_lines() -> Iterator[SessionLine]:
    """Every line, sitting by sitting and player by player."""
    for day, label, able in SITTINGS:
        for player in (player for player in PLAYERS if player.player in able):
            for block, (setup, spin, length, placement, stroke) in enumerate(KINDS, 1):
                yield SessionLine(
                    session_date=day,
                    session=label,
                    player=player.player,
                    coach=hall_of(player).coach,
                    block=block,
                    setup=setup,
                    spin=spin,
                    length=length,
                    placement=placement,
                    stroke=stroke,
                    good=_good(able[player.player], player.player, day, label, block),
                    **ALIKE,
                )


def _good(log_odds: float, *occasion: object) -> int:
    """Balls of one block share its luck."""
    chance = dice("test set", *occasion)
    share = 1 / (1 + exp(-(log_odds + chance.gauss(0, BLOCK_SPREAD / 2))))
    return sum(chance.random() < share for _ in range(ALIKE["balls"]))
