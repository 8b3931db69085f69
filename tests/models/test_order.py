"""The order balls came in, against closed forms and scipy."""

import numpy as np
import pytest
from scipy import stats

from models.order import OrderSettings, session_orders

ALWAYS_SHOWN = OrderSettings(least_balls=0, balls_per_condition=0, entropy_balls=0)


def one_session(conditions, block=None, settings=None):
    conditions = np.asarray(list(conditions))
    block = np.zeros(len(conditions)) if block is None else np.asarray(block)
    return session_orders(np.zeros(len(conditions)), block, conditions, settings)


@pytest.mark.parametrize(
    ("balls", "switch_rate", "relative", "entropy", "seen"),
    [
        ("AAAABBBBCCCC", 2 / 11, 0.25, 0.590020, "blocked"),
        ("ABCABCABCABC", 1.0, 1.375, 0.0, "serial"),
    ],
)
def test_twelve_balls_have_the_figures_found_by_hand(balls, switch_rate, relative, entropy, seen):
    """Shuffled, 8 of 11 balls would differ from the one before."""
    order = one_session(balls, settings=ALWAYS_SHOWN)

    assert order.switch_rate[0] == pytest.approx(switch_rate)
    assert order.relative_switch_rate[0] == pytest.approx(relative)
    assert order.conditional_entropy[0] == pytest.approx(entropy, abs=1e-6)
    assert order.order_seen == [seen]


def test_the_entropy_is_that_of_the_next_ball_less_what_the_last_one_tells():
    """scipy's entropies of the pairs and of the balls before."""
    balls = np.random.default_rng(5).integers(0, 3, 200)
    pairs = np.bincount(balls[:-1] * 3 + balls[1:], minlength=9)

    expected = stats.entropy(pairs, base=2) - stats.entropy(np.bincount(balls[:-1]), base=2)

    assert one_session(balls).conditional_entropy[0] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("order", "switch_rate", "seen"),
    [("blocked", 17 / 359, "blocked"), ("serial", 1.0, "serial"), ("shuffled", 0.947, "random")],
)
def test_the_same_360_balls_in_three_orders_are_told_apart(order, switch_rate, seen):
    """Twenty balls of each of eighteen cells; shuffled, 1 - 18 x 20 x 19 / (360 x 359) = .947 of them switch."""
    cells = np.repeat(np.arange(18), 20)
    balls = {
        "blocked": cells,
        "serial": np.tile(np.arange(18), 20),
        "shuffled": np.random.default_rng(8).permutation(cells),
    }[order]

    read = one_session(balls)

    assert read.switch_rate[0] == pytest.approx(switch_rate, abs=0.03)
    assert read.order_seen == [seen]


def test_the_entropy_of_few_balls_is_hidden_because_chance_makes_it_too_small():
    """Six conditions need 360 balls: on 60 shuffled balls the mean is 2.2 bits, not 2.585."""
    draw = np.random.default_rng(2)
    few = [one_session(draw.permutation(np.repeat(np.arange(6), 10)), settings=ALWAYS_SHOWN) for _ in range(200)]

    assert np.mean([order.conditional_entropy[0] for order in few]) == pytest.approx(2.206, abs=0.02)
    assert np.isnan(one_session(np.repeat(np.arange(6), 59)).conditional_entropy[0])
    assert not np.isnan(one_session(np.repeat(np.arange(6), 60)).conditional_entropy[0])


def test_shuffled_balls_are_never_called_serial_even_when_few():
    """Five balls of each condition are the least from which a class is read."""
    draw = np.random.default_rng(4)
    seen = [one_session(draw.permutation(np.repeat(np.arange(8), 5))).order_seen[0] for _ in range(300)]

    assert set(seen) <= {"random", "blocked"}
    assert seen.count("random") > 290


def test_nineteen_balls_or_too_many_conditions_are_too_few():
    assert one_session(np.arange(19) % 2).order_seen == ["too_few"]
    assert one_session(np.arange(40) % 12).order_seen == ["too_few"]


def test_a_change_of_block_is_no_switch():
    """Two blocks of one condition each: nobody had to adapt within a block."""
    order = one_session("A" * 15 + "B" * 15, block=[0] * 15 + [1] * 15)

    assert order.switch_rate[0] == 0
    assert order.order_seen == ["blocked"]


def test_one_condition_throughout_is_blocked_and_has_no_relative_rate():
    order = one_session("A" * 30)

    assert order.order_seen == ["blocked"]
    assert np.isnan(order.relative_switch_rate[0])


def test_sessions_do_not_run_into_each_other():
    both = session_orders([1] * 12 + [2] * 12, np.zeros(24), list("AAAABBBBCCCC" + "ABCABCABCABC"), ALWAYS_SHOWN)

    assert both.session.tolist() == [1, 2]
    assert both.switch_rate == pytest.approx([2 / 11, 1.0])
    assert both.order_seen == ["blocked", "serial"]


def test_single_balls_have_no_order():
    order = session_orders([1, 2], [0, 0], ["A", "A"])

    assert np.isnan(order.switch_rate).all()
    assert order.order_seen == ["too_few", "too_few"]
