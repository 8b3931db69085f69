"""What was fed of a plan: each block at the table counts for one planned block, by its balls."""

import json
from typing import Any

import pytest

from models.closing import drawn
from models.kept_plan import Fed, described, kept_blocks
from models.planned import Drill, Gap
from models.planning import block_of
from models.settings import Settings
from tests.models.test_planning import BACK

SLOW, FAST = ({"setup": "BC", "spin": "topspin", "length": "long", "tempo_bpm": tempo} for tempo in (40, 70))
SHORT = {"setup": "NC", "spin": "backspin", "length": "short"}


def planned(*feeds: dict[str, Any], balls: int = 30) -> dict[str, Any]:
    """A block as it is kept: so many balls of each kind."""
    kinds = [{"feed": feed, "wanted": {}, "balls": balls, "why": "never_met"} for feed in feeds]
    return {"order": "blocked", "minutes": 3.0, "kinds": kinds}


@pytest.mark.parametrize(
    ("fed", "counts"),
    [
        ([], [0, 0, 0]),
        ([Fed([FAST], 20)], [0, 20, 0]),
        ([Fed([FAST], 20), Fed([FAST], 10)], [0, 30, 0]),
        ([Fed([FAST], 30), Fed([FAST], 30)], [0, 60, 0]),
        ([Fed([SLOW | {"placement": "middle"}], 30)], [30, 0, 0]),
        ([Fed([SLOW | {"tempo_bpm": 55}], 30), Fed([SLOW | {"tempo_bpm": 55}], 30)], [30, 30, 0]),
        ([Fed([{"setup": "BC", "spin": "topspin", "length": "long"}], 30)], [30, 0, 0]),
        ([Fed([SHORT, FAST], 30)], [0, 0, 0]),
        ([Fed([SHORT], 0)], [0, 0, 0]),
    ],
    ids=[
        "nothing",
        "in part",
        "in two goes",
        "twice is no other block",
        "more words than planned",
        "at another tempo: the first that is open",
        "at no noted tempo",
        "a combination is another block",
        "begun only",
    ],
)
def test_what_was_fed_counts_for_one_block(fed: list[Fed], counts: list[int]) -> None:
    blocks = kept_blocks([planned(SLOW), planned(FAST), planned(SHORT)], fed)

    assert [block.fed for block in blocks] == counts
    assert [block.is_done for block in blocks] == [count >= 30 for count in counts]


def test_a_combination_is_done_by_all_its_balls() -> None:
    (block,) = kept_blocks([planned(SLOW, SHORT, balls=15)], [Fed([SHORT, SLOW], 20)])

    assert (block.fed, block.balls, block.is_done) == (20, 30, False)


def test_the_drawn_order_of_a_closing_mix_is_kept_with_it():
    own = Settings(planned_balls=5, closing_minutes=1)
    drills = [Drill(Gap(0, {"spin": spin}, 0, "weak"), BACK, 5, 50.0, "loop") for spin in ("topspin", "no_spin")]
    mix = drawn(drills, own, seed=4)

    (kept,) = kept_blocks([json.loads(json.dumps(described(mix)))], [])

    assert (kept.calls, kept.order, kept.balls) == (mix.calls, "random", 5)
    assert [kind.feed["stroke"] for kind in kept.kinds] == ["loop", "loop"]
    assert "calls" not in described(block_of(drills, own))
