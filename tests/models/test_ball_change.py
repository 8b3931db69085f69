"""How far a ball changes from the one before it."""

import pytest

from models.ball_change import Change, changes

SHORT_PUSH = {"depth": "near", "spin_family": "backspin", "length": "short", "placement": "middle"}


@pytest.mark.parametrize(
    ("after", "told"),
    [
        ({}, []),
        ({"length": "half_long"}, [Change("length", "short", "half_long", 1)]),
        ({"length": "long"}, [Change("length", "short", "long", 2)]),
        (
            {"spin_family": "topspin", "length": "long", "placement": None},
            [Change("spin_family", "backspin", "topspin", 2), Change("length", "short", "long", 2)],
        ),
        ({"depth": "back"}, [Change("depth", "near", "back", 2)]),
        ({"height": "low"}, []),  # The ball before says nothing of its height.
    ],
)
def test_what_both_balls_name_and_what_differs(after, told):
    assert list(changes(SHORT_PUSH, SHORT_PUSH | after)) == told
