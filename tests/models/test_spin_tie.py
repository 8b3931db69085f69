"""The tie of spin and place: its formula against published values, and how often it sees what is not there."""

import numpy as np
import pytest
from scipy.stats import chi2_contingency

from models.needs import REASONS, Need, in_order, only_one
from models.spin_tie import Stands, entropy_bits, information_bits, spin_tie, strongest_pair

COVER_THOMAS = np.array([[4, 2, 1, 1], [2, 4, 1, 1], [2, 2, 2, 2], [8, 0, 0, 0]], dtype=float)
"""The joint distribution of Cover & Thomas (2006), Elements of Information Theory, example 2.2.1, in 32nds; there
H(X) = 7/4 bits and H(X|Y) = 11/8 bits, so that I(X; Y) = 3/8 bits (from memory)."""


def test_a_published_distribution_has_its_published_information():
    assert entropy_bits(COVER_THOMAS.sum(axis=0)) == pytest.approx(7 / 4)
    assert entropy_bits(COVER_THOMAS.sum(axis=1)) == pytest.approx(2)
    assert information_bits(COVER_THOMAS) == pytest.approx(3 / 8)


def test_the_information_is_the_likelihood_ratio_of_a_table_of_counts():
    """G = 2 N I, in natural units (scipy's chi2_contingency by log-likelihood)."""
    counts = np.random.default_rng(1).integers(1, 60, size=(5, 9, 3)).astype(float)
    statistics = [chi2_contingency(table, lambda_="log-likelihood").statistic for table in counts]
    expected = statistics / (2 * counts.sum(axis=(1, 2)) * np.log(2))

    assert information_bits(counts) == pytest.approx(expected)


def a_player(seed: int, *, sessions: int, sticks: float, tie: float = 0.0) -> Stands:
    """Sessions in which place and spin each tend to stay; so often as `tie` says, a place has its own spin."""
    deal = np.random.default_rng(seed)
    places, spins = deal.dirichlet(np.full(9, 1.5)), deal.dirichlet(np.full(3, 3.0))
    own = deal.integers(0, 3, 9)
    stands: list[tuple[int, np.ndarray]] = []
    for _ in range(sessions):
        fed: dict[int, np.ndarray] = {}
        place, usual = deal.choice(9, p=places), deal.choice(3, p=spins)
        for _ in range(deal.integers(3, 8)):
            place = place if deal.random() < sticks else deal.choice(9, p=places)
            spin = usual if deal.random() < sticks else deal.choice(3, p=spins)
            spin = own[place] if deal.random() < tie else spin
            fed.setdefault(int(place), np.zeros(3))[spin] += deal.integers(15, 60)
        stands += fed.items()
    return Stands(np.array([place for place, _ in stands]), np.array([balls for _, balls in stands]))


def told(players: int, **how: float) -> float:
    """How many of so many players are said to be tied, by the settings to begin with."""
    ties = [spin_tie(a_player(seed, **how), seed, draws=199) for seed in range(players)]  # type: ignore[arg-type]
    return sum(tie is not None and tie.chance <= 0.01 and tie.share_told >= 0.2 for tie in ties) / players


@pytest.mark.parametrize("sticks", [0.0, 0.7])
@pytest.mark.parametrize("sessions", [4, 12])
def test_players_without_a_tie_are_hardly_ever_said_to_have_one(sessions: int, sticks: float):
    """One in a hundred is the promise; five or more of 120 would come of it in one of a hundred runs (binomial)."""
    assert told(120, sessions=sessions, sticks=sticks) <= 4 / 120


def test_a_strong_tie_is_found():
    assert told(40, sessions=12, sticks=0.0, tie=0.9) >= 0.9


def test_single_balls_instead_of_stands_would_see_ties_everywhere():
    """Why stands are dealt whole: the same players, each ten balls taken for a stand of their own."""
    found = 0
    for seed in range(20):
        whole = a_player(seed, sessions=8, sticks=0.7)
        tens = np.repeat(np.arange(whole.balls.size), (whole.balls // 10).astype(int).ravel())
        single = Stands(whole.place[tens // 3], np.eye(3)[tens % 3])
        tie = spin_tie(single, seed, draws=199)
        found += tie is not None and tie.chance <= 0.01
    assert found > 10


def test_one_place_or_one_spin_is_no_tie():
    assert spin_tie(Stands(np.array([0, 0]), np.array([[10.0, 0], [0, 10]])), 1) is None
    assert spin_tie(Stands(np.array([0, 1]), np.array([[10.0, 0], [10, 0]])), 1) is None
    assert spin_tie(Stands(np.array([], dtype=np.int64), np.zeros((0, 3))), 1) is None


def test_the_pair_that_adds_most_is_named_with_its_shares():
    pair = strongest_pair(np.array([[90.0, 10.0], [5.0, 95.0], [5.0, 95.0]]))

    assert (pair.place, pair.spin) == (0, 0)
    assert pair.share_from_place == pytest.approx(0.9)
    assert pair.share_of_others == pytest.approx(10 / 200)


def test_the_same_seed_gives_the_same_chance():
    player = a_player(3, sessions=6, sticks=0.5)

    assert spin_tie(player, 7) == spin_tie(player, 7)


def test_nearly_all_balls_of_one_value_count_as_all_where_others_are_wanted():
    assert only_one({"back": 96, "near": 4}, ["back", "near"], 0.95) == ("back", 0.96)
    assert only_one({"back": 94, "near": 6}, ["back", "near"], 0.95) is None
    assert only_one({"back": 96}, ["back"], 0.95) is None
    assert only_one({"back": 0, "near": 0}, ["back", "near"], 0.95) is None


def test_a_heavier_kind_comes_first_however_strong_a_lighter_one_is():
    needs = [Need("few_covered", 1.0), Need("one_place", 0.0), Need("not_lately", 0.9), Need("not_lately", 0.3)]

    assert [need.reason for need in in_order(needs)] == ["one_place", "not_lately", "not_lately", "few_covered"]
    assert [need.strength for need in in_order(needs)][1:3] == [0.9, 0.3]
    assert [need.reason for need in in_order([])] == ["all_well"]
    weights = [Need(reason, strength).weight for reason in reversed(REASONS) for strength in (0.0, 0.5, 1.0)]
    assert weights == sorted(weights)
