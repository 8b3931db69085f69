"""The reports against figures published elsewhere and against other people's libraries."""

from itertools import product
from math import exp, log

import numpy as np
import pytest
from scipy.spatial.distance import jensenshannon
from scipy.stats import entropy
from skbio.diversity import alpha
from statsmodels.stats.proportion import proportion_confint

from models.words import PLACEMENT, SPIN
from sql.judging import judgements_in_order
from sql.making_tables import make_judgements
from tests.models.published import CONTROL_LITTERS, TREATED_LITTERS
from tests.sql.clubs import Club, Row, a_club, a_trained_club
from tests.sql.judged_clubs import BALLS_ALONE, FIRST_STAGE, a_judged_club

# Spiders caught at girdled trees, one count for each of 26 species (data set `spider` of the R package iNEXT).
GIRDLED = (46, 22, 17, 15, 15, 9, 8, 6, 6, 4, 2, 2, 2, 2, *(1,) * 12)

# Newcombe (1998), Stat. Med. 17:857, Table I, method 3 (second-hand: inputs in the documentation of DescTools).
NEWCOMBE = [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]

ON_ANY_BALLS = {"spread_balls": 1}
"""Tells the spread over the grid on few balls, as the published examples have them."""


def drill(balls: int, **conditions: object) -> Row:
    return {"balls": balls, "good": 0, **conditions}


def variety(club: Club, player: str) -> Row:
    return club.row("report.variety", where=f"player_id = '{player}'")


def placed(shares: tuple[int, ...]) -> list[Row]:
    """Balls to each of the five placements, in their order."""
    return [drill(balls, placement=word) for balls, word in zip(shares, PLACEMENT.names, strict=True) if balls]


def test_two_way_coverage_is_that_of_the_worked_example_of_nist():
    """Kuhn, Kacker & Lei (2012), NISTIR 7878: four binary factors, tests 0000, 0110, 1001, 0111.

    19 of the 24 pairs of values are covered, and 2 of the 6 pairs of factors wholly.
    """
    words = {
        "spin": ("no_spin", "topspin"),
        "length": ("short", "long"),
        "height": ("low", "high"),
        "sidespin": ("left", "right"),
    }
    tests = ((0, 0, 0, 0), (0, 1, 1, 0), (1, 0, 0, 1), (0, 1, 1, 1))
    lines = [drill(10, **{name: words[name][at] for name, at in zip(words, test, strict=True)}) for test in tests]

    with a_trained_club({"P1": lines}, words, "report.variety", "report.coverage_by_pair", covered_balls=10) as club:
        seen = variety(club, "P1")
        full = club.rows(
            "(select bool_and(is_covered) as is_full from report.coverage_by_pair group by dimension, other_dimension)"
        )

    assert (seen["pairs"], seen["pairs_covered"]) == (24, 19)
    assert seen["pair_coverage"] == pytest.approx(19 / 24, abs=1e-12)
    assert sorted(pair["is_full"] for pair in full) == [False] * 4 + [True] * 2


def test_the_spiders_have_the_published_shannon_and_hill_numbers():
    """H = 2.489865 nats and 12.0597 effective species (Hill 1973, q = 1), as scipy and scikit-bio give them too.

    The grid here has 35 combinations, nine of which no spider met: evenness is divided by ln 35. scikit-bio's
    pielou_e divides by the logarithm of the 26 species seen, so it is another number.
    """
    grid = {"spin": SPIN.names, "placement": PLACEMENT.names}
    cells = [dict(zip(grid, cell, strict=True)) for cell in product(*grid.values())]
    lines = [drill(balls, **cell) for balls, cell in zip(GIRDLED, cells, strict=False)]

    with a_trained_club({"P1": lines}, grid, "report.variety", **ON_ANY_BALLS) as club:
        seen = variety(club, "P1")

    assert (seen["cells"], seen["cells_met"], seen["balls_in_grid"]) == (35, 26, 168)
    assert seen["effective_conditions"] == pytest.approx(12.059650, abs=1e-6)
    assert seen["effective_conditions"] == pytest.approx(alpha.hill(GIRDLED, order=1), abs=1e-9)
    assert seen["dominant_conditions"] == pytest.approx(7.84, abs=1e-9)
    assert seen["dominant_conditions"] == pytest.approx(alpha.hill(GIRDLED, order=2), abs=1e-9)
    assert log(seen["effective_conditions"]) == pytest.approx(2.489865, abs=1e-6)
    assert seen["evenness"] == pytest.approx(entropy(GIRDLED) / log(35), abs=1e-9)
    assert seen["evenness"] * log(35) / log(26) == pytest.approx(alpha.pielou_e(GIRDLED), abs=1e-9)


def test_the_share_of_balls_to_move_is_half_the_sum_of_differences_to_the_plan():
    """Total variation of .5, .3, .2 from thirds is 1/6 (closed form); what was never met counts with all its share."""
    grid = {"placement": PLACEMENT.names[:3]}
    lines = {"P1": placed((50, 30, 20, 0, 0)), "P2": placed((60, 0, 0, 0, 0))}

    with a_trained_club(lines, grid, "report.variety") as club:
        told = [variety(club, player)["share_to_move"] for player in ("P1", "P2")]

    assert told == pytest.approx([1 / 6, 2 / 3], abs=1e-12)


def test_entropy_is_in_nats_before_it_becomes_a_number_of_combinations():
    """DuckDB's own entropy() of a, a, b, c is 1.5 bits, so the effective number is 2 to the power of 1.5."""
    lines = placed((20, 10, 10, 0, 0))

    with a_trained_club({"P1": lines}, {"placement": PLACEMENT.names}, "report.variety") as club:
        ((bits,),) = club.connection.execute(
            "select entropy(x) from (values ('a'), ('a'), ('b'), ('c')) as t(x)"
        ).fetchall()
        seen = variety(club, "P1")

    assert bits == 1.5
    assert seen["effective_conditions"] == pytest.approx(2**1.5, abs=1e-12)


def test_one_placement_thirty_times_as_often_as_five_others_is_less_than_two():
    """Counts 30, 1, 1, 1, 1, 1: 1.90 effective types, by the README of the diversity library greylock."""
    grid = {"spin_family": ("backspin", "topspin"), "length": ("short", "half_long", "long")}
    cells = list(product(("backspin", "topspin"), grid["length"]))
    lines = [drill(30 if at == 0 else 1, spin=spin, length=length) for at, (spin, length) in enumerate(cells)]

    with a_trained_club({"P1": lines}, grid, "report.variety") as club:
        assert variety(club, "P1")["effective_conditions"] == pytest.approx(1.896549, abs=1e-6)


def test_the_distance_from_the_plan_is_the_jensen_shannon_divergence_in_bits():
    """Lin (1991). By hand 0.0248879 bits for (.5, .3, .2) against thirds; scipy gives the root, hence the square.

    Combinations that were never met count as well.
    """
    mixes = {"P1": (50, 30, 20), "P2": (15, 0, 0), "P3": (3, 0, 97), "P4": (7, 7, 7)}
    words = ("short", "half_long", "long")
    lines = {
        code: [drill(balls, length=word) for balls, word in zip(mix, words, strict=True) if balls]
        for code, mix in mixes.items()
    }

    with a_trained_club(lines, {"length": words}, "report.variety") as club:
        distances = {code: variety(club, code)["plan_distance"] for code in mixes}

    assert distances["P1"] == pytest.approx(0.0248879, abs=1e-7)
    for code, mix in mixes.items():
        assert distances[code] == pytest.approx(jensenshannon(mix, (1, 1, 1), base=2) ** 2, abs=1e-12)


def test_two_even_kinds_of_ball_half_alike_are_one_and_a_third():
    """Leinster & Cobbold (2012), Ecology 93:477: 2 / (1 + z) for two even types of likeness z, here a half."""
    lines = [drill(10, length="short"), drill(10, length="long")]

    with a_trained_club({"P1": lines}, {"length": ("short", "long")}, "report.variety", likeness_decay=log(2)) as club:
        assert variety(club, "P1")["distinct_conditions"] == pytest.approx(4 / 3, abs=1e-9)


# Leinster & Cobbold's number of order 1 for five types on a line with likeness exp(-steps); values by greylock.
ON_A_LINE = {
    "neighbours": ((20, 20, 0, 0, 0), 1.462117),
    "ends": ((20, 0, 0, 0, 20), 1.964028),
    "even": ((8, 8, 8, 8, 8), 2.796272),
    "leaning": ((16, 12, 4, 4, 4), 2.450670),
}


def test_near_twins_count_as_nearly_one():
    """Four steps lie between the five placements, so a decay of 4 makes the likeness of neighbours exp(-1).

    All five count most: a straight fall of likeness would put the two ends above them.
    """
    lines = {code: placed(mix) for code, (mix, _) in ON_A_LINE.items()}

    with a_trained_club(lines, {"placement": PLACEMENT.names}, "report.variety", likeness_decay=4) as club:
        distinct = {code: variety(club, code)["distinct_conditions"] for code in ON_A_LINE}

    assert {code: pytest.approx(value, abs=1e-6) for code, (_, value) in ON_A_LINE.items()} == distinct


def test_distinct_conditions_agree_with_matrices_on_random_mixes():
    """Leinster & Cobbold: exp(-sum p ln(Zp)), here by numpy, over spin and placement together."""
    counts = np.random.default_rng(20261125).integers(0, 9, size=(3, 7, 5))
    where = np.array([(i / 6, j / 4) for i in range(7) for j in range(5)])
    likeness = np.exp(-2 * np.abs(where[:, None] - where[None, :]).sum(axis=2))
    lines = {
        f"P{at}": [
            drill(int(balls), spin=SPIN.names[i], placement=PLACEMENT.names[j])
            for (i, j), balls in np.ndenumerate(mix)
            if balls
        ]
        for at, mix in enumerate(counts)
    }

    grid = {"spin": SPIN.names, "placement": PLACEMENT.names}
    with a_trained_club(lines, grid, "report.variety", **ON_ANY_BALLS) as club:
        distinct = [variety(club, code)["distinct_conditions"] for code in lines]

    shares = [mix.ravel() / mix.sum() for mix in counts]
    assert distinct == pytest.approx([exp(-np.sum(p[p > 0] * np.log((likeness @ p)[p > 0]))) for p in shares], abs=1e-9)


@pytest.mark.parametrize(
    ("grid", "decay"),
    [
        ({"placement": PLACEMENT.names}, 4.0),
        (
            {"depth": ("back", "middle", "near"), "length": ("short", "half_long", "long"), "height": ("low", "high")},
            2.0,
        ),
        ({"spin": ("heavy_backspin", "backspin", "no_spin", "heavy_topspin"), "tempo_band": ("slow", "medium")}, 2.0),
        ({"spin_family": ("backspin", "topspin"), "spin": SPIN.names, "height": ("low", "medium", "high")}, 0.5),
        ({"depth": ("middle",)}, 2.0),
    ],
    ids=["five on a line", "three even dimensions", "uneven words", "spins within their family", "one combination"],
)
def test_the_most_distinct_combinations_are_those_of_the_whole_likeness_matrix_solved(grid, decay):
    """Leinster & Meckes (2016), Entropy 18:88: the sum of the inverse of Z, by numpy from the places of all cells."""
    with a_trained_club({"P1": [drill(1)]}, grid, "core.grid_maxima", "core.cell_values", likeness_decay=decay) as club:
        (row,) = club.rows("core.grid_maxima")
        rows = club.rows("core.cell_values", "cell, dimension, position")

    cells = sorted({row["cell"] for row in rows})
    places = {(row["cell"], row["dimension"]): row["position"] for row in rows}
    where = np.array([[places[cell, dimension] for dimension in grid] for cell in cells])
    likeness = np.exp(-decay * np.abs(where[:, None] - where[None, :]).sum(axis=2))
    assert row["most_distinct_conditions"] == pytest.approx(np.linalg.solve(likeness, np.ones(len(cells))).sum())


def test_five_words_one_apart_hold_at_most_2_85_distinct_ones():
    """Closed form on a line: 1 + 4 tanh(1/2) = 2.848469 for steps of one; a grid holds the product of its lines."""
    lines = {"placement": PLACEMENT.names, "depth": ("back", "middle", "near")}
    with a_trained_club({"P1": [drill(1)]}, lines, "core.grid_maxima", likeness_decay=4) as club:
        (row,) = club.rows("core.grid_maxima")

    assert row["most_distinct_conditions"] == pytest.approx(2.848469 * (1 + 2 * np.tanh(1)), abs=5e-6)


def test_the_range_of_a_rate_is_the_printed_one():
    """Newcombe (1998) prints four decimals; statsmodels agrees to the last."""
    lines = [{"player": f"P{balls}", "balls": balls, "good": good} for good, balls, _, _ in NEWCOMBE]

    with a_judged_club({}, lines, **BALLS_ALONE) as club:
        rows = {row["balls"]: row for row in club.rows("report.success", where="cut = 'all'")}

    for good, balls, low, high in NEWCOMBE:
        seen = rows[balls]["low"], rows[balls]["high"]
        assert seen == pytest.approx((low, high), abs=5e-5)
        assert seen == pytest.approx(proportion_confint(good, balls, method="wilson"), abs=1e-12)
        assert good / balls == rows[balls]["rate"]


def test_the_range_holds_the_rate_for_every_number_of_balls():
    """At none or all good, plain arithmetic puts the rate outside its own range by a hair for one number in four.

    A check of the table would then stop the build.
    """
    counts = [(good, balls) for balls in range(20, 1001) for good in {0, 1, balls // 3, balls}]
    numbers = ", ".join(f"('spin', '{good} of {balls}', {balls}, {good}, {balls}, {balls})" for good, balls in counts)
    with a_club(**BALLS_ALONE) as club:
        club.build(*FIRST_STAGE)
        club.connection.execute(
            f"insert into core.success_windows select 'club', date '2026-03-02', 'P1', * from (values {numbers})"
        )
        make_judgements(club.connection, tuple(one for one in judgements_in_order() if one.name == "success"))
        rows = club.rows("report.success")

    assert len(counts) == len(rows)
    assert [row for row in rows if not 0 <= row["low"] <= row["rate"] <= row["high"] <= 1] == []
    library = proportion_confint([row["good"] for row in rows], [row["balls"] for row in rows], method="wilson")
    assert np.allclose(library, [[row["low"] for row in rows], [row["high"] for row in rows]], rtol=0, atol=1e-12)


@pytest.mark.parametrize(
    ("litters", "rho", "effect"),
    [(CONTROL_LITTERS, 0.029091, 1.232495), (TREATED_LITTERS, 0.372135, 3.952861)],
    ids=["control", "treated"],
)
def test_the_likeness_of_blocks_is_that_of_the_litters_of_rats(litters, rho, effect):
    """Weil (1970), from memory; a litter is a block here, on a day of its own, and a pup weaned a good ball.

    By analysis of variance. Rao & Scott (1992) take the design effect from the spread between litters: 1.232495 and
    3.952861; ours, from the correlation, lies within a tenth of it.
    """
    lines = [
        {"player": "P1", "session": str(at), "balls": n, "good": k}
        for at, (k, n) in enumerate(zip(*litters, strict=True))
    ]

    with a_judged_club({}, lines, likeness_comparisons=15) as club:
        (likeness,) = club.rows("report.block_likeness")
        row = club.row("report.success", where="cut = 'all'")

    assert likeness["likeness"] == pytest.approx(rho, abs=1e-6)
    assert (likeness["comparisons"], likeness["is_assumed"]) == (15, False)
    assert row["balls"] / row["effective_balls"] == pytest.approx(effect, rel=0.10)


ABC = {"A": "backspin", "B": "no_spin", "C": "topspin"}


def one_by_one(order: str) -> list[Row]:
    """One block, ball by ball, of the kinds that the letters name."""
    return [{"block": 1, "ball": at, "spin": ABC[kind], "outcome": "good"} for at, kind in enumerate(order, start=1)]


def test_the_entropy_of_the_next_ball_is_what_the_last_one_does_not_tell():
    """scipy's entropy of the pairs less that of the balls before, on two hundred balls drawn by lot."""
    order = "".join(np.random.default_rng(5).choice(list(ABC), 200))
    pairs = [order.count(one + two) if one != two else _twins(order, one) for one, two in product(ABC, repeat=2)]

    with a_trained_club({"P1": one_by_one(order)}, {}, "report.schedule", kind="balls") as club:
        bits = club.row("report.schedule")["conditional_entropy"]

    before = [order[:-1].count(kind) for kind in ABC]
    assert bits == pytest.approx(entropy(pairs, base=2) - entropy(before, base=2), abs=1e-9)


def _twins(order: str, kind: str) -> int:
    """How often the kind follows itself; `count` would pass over those that overlap."""
    return sum(order[at : at + 2] == kind * 2 for at in range(len(order)))


@pytest.mark.parametrize(
    ("order", "relative", "bits", "seen"),
    [
        ("AAAABBBBCCC", 0.275, 0.649, None),
        ("BABBABABABABABABABABABAB", 1.846, 0.216, "serial"),
        ("ABABABABABABABABABABABBB", 1.762, 0.339, "random"),
        ("AABBAABBAABB", 0.833, 0.987, "random"),
        ("AAAAABABBBBB", 0.5, 0.829, "random"),
        ("BBBBBBBBAAAB", 0.444, 0.646, "blocked"),
    ],
)
def test_the_order_is_named_from_twelve_balls_on_by_two_limits(order, relative, bits, seen):
    """Blocked: under half the changes of a shuffle. Serial: the ball before tells three quarters of the next.

    The limits are conventions of this project, without a published basis.
    """
    with a_trained_club({"P1": one_by_one(order)}, {}, "report.schedule", kind="balls", entropy_balls=1) as club:
        row = club.row("report.schedule")

    assert row["relative_switch_rate"] == pytest.approx(relative, abs=1e-3)
    assert row["conditional_entropy"] == pytest.approx(bits, abs=1e-3)
    assert row["order_seen"] == seen


def test_a_third_is_a_third_to_the_last_digit():
    """A quotient of decimals would be cut after a few places; shares are doubles."""
    grid = {"length": ("short", "half_long", "long")}
    with a_judged_club(grid, [{"player": "P1", "balls": 30, "good": 10}]) as club:
        assert club.row("report.success", where="cut = 'all'")["rate"] == 1 / 3
        assert {1 / 3} == {row["wanted_share"] for row in club.rows("report.coverage")}
