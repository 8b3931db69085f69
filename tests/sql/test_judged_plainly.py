"""The judged tables against the slow plain way, on random clubs: every row and every column that it gives."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings

from models.settings import Settings
from tests.proofs import in_proof
from tests.sql.clubs import Club, Row, a_club, nearly
from tests.sql.judged_clubs import fill, in_week, judge
from tests.sql.judged_plainly import Plainly
from tests.sql.random_clubs import some_clubs
from tests.sql.test_oracle import A_FEW, load

KEYS = {
    "success": ("club_id", "week", "player_id", "cut", "value"),
    "standard_success": ("club_id", "week", "player_id"),
    "then_and_now": ("club_id", "week", "player_id"),
    "gaps": ("club_id", "player_id", "rank"),
}


def must_agree(club: Club, everyone: list[Settings]) -> dict[str, list[Row]]:
    """The plain rows, once the judged ones are the same."""
    likeness_must_agree(club, everyone)
    plain = {}
    for name in KEYS:
        plain[name] = in_order(name, [row for own in everyone for row in getattr(Plainly(club, own), name)()])
        told = in_order(name, club.rows(f"report.{name}"))
        columns = plain[name][0] if plain[name] else {}
        seen = [{column: row[column] for column in columns} for row in told]
        assert (name, plain[name]) == (name, nearly(plain[name], seen, 1e-9))
    return plain


def likeness_must_agree(club: Club, everyone: list[Settings]) -> None:
    for own in everyone:
        (told,) = club.rows("report.block_likeness", where=f"club_id = '{own.club_id}'")
        plain = Plainly(club, own).alike
        assert (told["likeness"], told["session_likeness"]) == pytest.approx((plain.block, plain.session), abs=1e-9)
        assert (told["is_assumed"], told["session_is_assumed"]) == (plain.is_assumed, plain.session_is_assumed)


def in_order(name: str, rows: list[Row]) -> list[Row]:
    return sorted(rows, key=lambda row: [row[key] for key in KEYS[name]])


def assert_the_plain_way_agrees(clubs):
    with a_club(**clubs[0][0].model_dump()) as first:
        load(first, clubs[0][1])
        for own, batches in clubs[1:]:
            load(first.neighbour(own), batches)
        must_agree(judge(first), [own for own, _ in clubs])


@settings(A_FEW, max_examples=2)
@given(some_clubs())
def test_the_judged_tables_and_the_plain_way_agree_on_small_clubs_of_every_shape(clubs):
    assert_the_plain_way_agrees(clubs)


@pytest.mark.proof
@settings(A_FEW, max_examples=20)
@given(some_clubs())
def test_they_agree_on_many_such_clubs(clubs):
    assert_the_plain_way_agrees(clubs)


GRID = {"depth": {"back": 3.0, "near": 1.0}, "spin_family": {"backspin": 1.0, "topspin": 2.0}}
KINDS = list(product("BMN", ("backspin", "light_topspin", "no_spin"), (None, 70.0)))


def a_season(seed: int, players: tuple[str, ...] = ("P1", "P2", "P3")) -> list[Row]:
    """Twelve weeks with gaps between them; some balls lie outside the grid, and blocks go well or badly."""
    draw = np.random.default_rng(seed)
    lines: list[Row] = []
    for player, week in product(players, range(12)):
        for block in range(1, draw.integers(0, 7)):
            luck = draw.beta(6, 4)
            for feed in range(1, draw.integers(2, 4)):
                setup, spin, tempo_bpm = KINDS[draw.integers(len(KINDS)) if draw.random() < 0.7 else 0]
                balls = int(draw.integers(3, 25))
                lines.append(
                    {
                        **in_week(week, days=int(draw.integers(7))),
                        "player": player,
                        "session": str(draw.integers(1, 3)),
                        "block": block,
                        "feed": feed,
                        "setup": setup,
                        "spin": spin,
                        "tempo_bpm": tempo_bpm,
                        "balls": balls,
                        "good": int(draw.binomial(balls, luck if player != "P1" or setup != "B" else luck / 4)),
                    }
                )
    identity = ("session_date", "session", "player", "block", "feed")
    return list({tuple(line[name] for name in identity): line for line in lines}.values())


@pytest.mark.parametrize("seed", [5, in_proof(6), in_proof(7)])
def test_the_judged_tables_and_the_plain_way_agree_on_seasons_of_two_clubs(seed):
    """They hold every reason for a gap, measured likeness of blocks, and windows with and without enough balls."""
    first_club = Settings(club_id="a", likeness_comparisons=10, covered_balls=30)
    second_club = Settings(club_id="b", window_days=14, rate_balls=30, judged_weeks=6, covered_balls=15)
    with a_club(**first_club.model_dump()) as first:
        second = first.neighbour(second_club)
        second.batches = 100
        fill(first, GRID, a_season(seed))
        fill(second, GRID, a_season(seed + 100))
        plain = must_agree(judge(first), [first_club, second_club])
        (likeness, _) = first.rows("report.block_likeness", "likeness, is_assumed")

    assert likeness["likeness"] > 0
    assert not likeness["is_assumed"]
    assert {row["why"] for row in plain["gaps"]} == {"never_met", "not_lately", "too_few", "weak"}
    assert len(plain["then_and_now"]) > 20
    assert {"not_clear", "too_few"} <= {row["verdict"] for row in plain["then_and_now"]}


@pytest.mark.parametrize(
    ("seed", "comparisons", "seen"),
    [(118, 2, "blocks and days"), (101, 2, "blocks alone"), (110, 2, "days alone"), (105, 30, "days not yet")],
)
def test_the_likeness_of_blocks_and_of_sessions_is_that_of_the_plain_way(seed, comparisons, seen):
    """Where blocks and days both differ, where one of them does not, and where the days are too few to tell."""
    own = Settings(club_id="a", likeness_comparisons=comparisons)
    with a_club(**own.model_dump()) as club:
        likeness_must_agree(judge(fill(club, GRID, a_season(seed))), [own])
        (told,) = club.rows("report.block_likeness")

    day_of_block = told["session_likeness"] / told["likeness"]
    kinds = {
        "blocks and days": 0 < day_of_block < 1,
        "blocks alone": day_of_block == 0,
        "days alone": day_of_block == 1,
    }
    assert told["session_is_assumed"] if seen == "days not yet" else kinds[seen]
