"""What to feed next and what holds up, as the judged tables publish it: small clubs whose answers are known."""

from datetime import date, timedelta
from itertools import product

import pytest
from statsmodels.stats.proportion import multinomial_proportions_confint

from sql.wanted import WANTED_ON_DAY, gaps_among
from tests.sql.clubs import Club, Row
from tests.sql.judged_clubs import BALLS_ALONE, a_judged_club, in_week

GRID = {"depth": ("back", "middle", "near"), "spin_family": ("backspin", "topspin")}
KINDS = [{"setup": setup, "spin": spin} for setup, spin in product("BMN", ("backspin", "topspin"))]


def of(club: Club, table: str, player: str) -> list[Row]:
    return club.rows(table, where=f"player_id = '{player}'")


def runs(player: str, week: int, first_good: int, repeat_good: int) -> list[Row]:
    """One block of eleven runs of six balls, of two kinds in turn: of five firsts of each kind, and of the five
    repeats of each run, so many are good. The first ball of the block has none before it.
    """
    outcomes = [
        (run % 2, place, place < 1 + repeat_good if place else (run + 1) // 2 <= first_good)
        for run in range(11)
        for place in range(6)
    ]
    return [
        {
            **in_week(week),
            "player": player,
            "block": 1,
            "ball": ball,
            "setup": "BM"[kind],
            "outcome": "good" if is_good else "net",
        }
        for ball, (kind, _, is_good) in enumerate(outcomes, start=1)
    ]


@pytest.fixture(scope="module")
def changing():
    """Twelve blocks each: P15 loses on changes, P1 does not, P2 never meets one, P3 has seven blocks."""
    alike = [{**in_week(week), "player": "P2", "block": 1, "ball": n} for week in range(12) for n in range(1, 31)]
    balls = [
        *(ball for week in range(12) for ball in runs("P15", week, 3, 4)),
        *(ball for week in range(12) for ball in runs("P1", week, 4, 4)),
        *(ball for week in range(7) for ball in runs("P3", week, 3, 4)),
        *alike,
    ]
    with a_judged_club({"depth": ("back", "middle")}, balls=balls) as club:
        yield club


def test_four_of_five_repeated_and_three_of_five_after_a_change_cost_twenty_points(changing):
    """In every block alike, so that nothing is left to chance; three quarters are retained."""
    (row,) = of(changing, "report.variety_cost", "P15")

    assert (row["cost"], row["low"], row["high"]) == pytest.approx((0.20, 0.20, 0.20))
    assert (row["first_balls"], row["repeat_balls"], row["verdict"]) == (12 * 10, 12 * 55, "falls")
    assert row["target_share_seen"] == pytest.approx(1)


def test_a_player_as_good_after_a_change_holds_up(changing):
    (row,) = of(changing, "report.variety_cost", "P1")

    assert (row["cost"], row["low"], row["high"]) == pytest.approx((0, 0, 0))
    assert row["verdict"] == "holds_up"


@pytest.mark.parametrize(("player", "first", "repeated"), [("P2", 0, 0), ("P3", 70, 385)])
def test_a_ball_that_never_changes_and_seven_blocks_are_too_few_and_counted(changing, player, first, repeated):
    """The counts are those of the balls that could be compared."""
    (row,) = of(changing, "report.variety_cost", player)

    assert (row["cost"], row["low"], row["high"], row["verdict"]) == (None, None, None, "too_few")
    assert (row["first_balls"], row["repeat_balls"]) == (first, repeated)


# Twenty-four weeks; each kind of ball comes ten times in so many of them, and the club succeeds on it so often.
WEEKS_OF_KIND = (8, 10, 12, 18, 20, 24)
CLUB_GOOD = (5, 8, 6, 7, 8, 5)


def _reaching() -> list[Row]:
    """The mate meets every kind every week, so often that the two others hardly weigh in the level of the club."""
    mate = [
        _kind_fed("mate", week, kind, 500, 50 * CLUB_GOOD[kind]) for week in range(24) for kind in range(len(KINDS))
    ]
    others = [
        _kind_fed(player, week, kind, 10, CLUB_GOOD[kind] + offset[kind] + (-1) ** week)
        for player, offset in (("evener", [0] * 6), ("knower", [-2, -2, 0, 0, 1, 1]))
        for kind, weeks in enumerate(WEEKS_OF_KIND)
        for week in range(weeks)
    ]
    return mate + others


def _kind_fed(player: str, week: int, kind: int, balls: int, good: int) -> Row:
    line = {**in_week(week), "player": player, "block": 1, "feed": kind + 1, **KINDS[kind]}
    return line | {"balls": balls, "good": good}


@pytest.fixture(scope="module")
def reaching():
    with a_judged_club(GRID, _reaching()) as club:
        yield club


def test_a_player_who_does_as_the_club_does_on_rare_and_on_familiar_balls_reaches_them(reaching):
    """Rare and familiar kinds differ in difficulty; the comparison does not mind."""
    (row,) = of(reaching, "report.rarely_met", "evener")

    assert row["gap"] == pytest.approx(0, abs=0.03)
    assert (row["rare_balls"], row["familiar_balls"], row["verdict"]) == (180, 440, "reaches")


def test_a_player_who_knows_the_familiar_balls_only_falls_short(reaching):
    (row,) = of(reaching, "report.rarely_met", "knower")

    assert row["gap"] == pytest.approx(-0.3, abs=0.05)
    assert row["low"] < row["gap"] < row["high"] < 0
    assert row["verdict"] == "falls_short"


def test_a_player_who_meets_every_kind_alike_has_none_that_is_rare(reaching):
    (row,) = of(reaching, "report.rarely_met", "mate")

    assert (row["rare_balls"], row["familiar_balls"], row["gap"], row["verdict"]) == (0, 0, None, "too_few")


# Invented: good, net, long, wide, missed.
MISTAKES = {"backspin": (60, 30, 5, 3, 2), "no_spin": (75, 8, 8, 5, 4), "topspin": (70, 6, 14, 6, 4)}
OUTCOMES = ("good", "net", "long", "wide", "missed")


@pytest.fixture(scope="module")
def mistaken():
    """P1 on many balls, P2 on an eighth of them; a line that says no more than good and balls tells no mistakes."""
    lines = [
        {"player": player, "spin": spin, "balls": sum(own), **dict(zip(OUTCOMES, own, strict=True))}
        for player, part in (("P1", 1), ("P2", 8))
        for spin, counts in MISTAKES.items()
        for own in [[count // part for count in counts]]
    ]
    with a_judged_club(
        GRID, [*lines, {"player": "P1", "spin": "backspin", "balls": 500, "good": 0}], **BALLS_ALONE
    ) as club:
        yield club


def test_the_shares_of_mistakes_have_goodmans_ranges_on_the_lines_that_name_them(mistaken):
    """Goodman (1965), as statsmodels computes them."""
    for spin, counts in MISTAKES.items():
        rows = {row["outcome"]: row for row in of(mistaken, "report.errors", "P1") if row["spin"] == spin}
        library = dict(zip(OUTCOMES, multinomial_proportions_confint(counts, method="goodman"), strict=True))

        assert [rows[name]["balls"] for name in OUTCOMES[1:]] == list(counts[1:])
        assert {row["noted_balls"] for row in rows.values()} == {100}
        assert [rows[name]["outcome_balls"] for name in OUTCOMES[1:]] == [44, 27, 14, 10]
        assert {row["all_noted_balls"] for row in rows.values()} == {300}
        for name in OUTCOMES[1:]:
            assert (rows[name]["low"], rows[name]["high"]) == pytest.approx(tuple(library[name]), abs=1e-9)


def test_the_net_stands_out_on_backspin_and_on_few_balls_nothing_does(mistaken):
    found = [
        (row["player_id"], row["spin"], row["outcome"]) for row in mistaken.rows("report.errors", where="stands_out")
    ]

    assert found == [("P1", "backspin", "net")]


LAST_DAY = in_week(9)["session_date"]


def _lacking() -> list[Row]:
    met = [
        ("B", "backspin", 9, 100, 85),
        ("B", "topspin", 9, 100, 30),
        ("M", "topspin", 1, 40, 30),
        ("N", "backspin", 8, 3, 2),
        ("N", "topspin", 8, 5, 1),
    ]
    weak_by_luck = [("B", "backspin", 9, 100, 80), ("B", "topspin", 9, 12, 8)]
    like_most = [("B", "backspin", 9, 100, 85), ("B", "topspin", 9, 100, 75)]
    return [
        {**in_week(week), "player": player, "setup": setup, "spin": spin, "balls": balls, "good": good}
        for player, own in (("P1", met), ("P2", weak_by_luck), ("P3", like_most))
        for setup, spin, week, balls, good in own
    ]


@pytest.fixture(scope="module")
def lacking():
    """Half of the balls are wanted from the back."""
    grid = {"depth": {"back": 2, "middle": 1, "near": 1}, "spin_family": ("backspin", "topspin")}
    with a_judged_club(grid, _lacking(), **BALLS_ALONE) as club:
        yield club


def test_the_never_met_comes_first_then_what_waited_longest_then_the_weak_and_what_lacks_some(lacking):
    """A combination twice as much wanted does not crowd out the others. What is met enough and goes well is no gap."""
    rows = of(lacking, "report.gaps", "P1")

    seen = [(row["rank"], row["cell"], row["why"], row["need_balls"], row["days_since"]) for row in rows]
    assert seen == [
        (1, "middle | backspin", "never_met", 10, None),
        (2, "middle | topspin", "not_lately", 10, 56),
        (3, "back | topspin", "weak", 0, 0),
        (4, "near | backspin", "too_few", 7, 7),
        (5, "near | topspin", "too_few", 5, 7),
    ]
    assert [row["judged_balls"] for row in rows] == [0, 40, 100, 3, 5]
    assert [row["wanted_share"] for row in rows] == [0.125, 0.125, 0.25, 0.125, 0.125]


def _on(club: Club, day: date) -> list[Row]:
    rows = club.connection.sql(WANTED_ON_DAY, params={"day": day, "player_id": "P1"}).pl()
    return gaps_among(rows, club.settings).to_dicts()


def test_asked_on_the_last_day_in_the_log_the_gaps_are_the_published_ones(lacking):
    published = of(lacking, "report.gaps", "P1")

    assert [{name: row[name] for name in published[0]} for row in _on(lacking, LAST_DAY)] == published


@pytest.mark.parametrize(
    ("days_later", "stale"),
    [(6, 1), (7, 1), (20, 1), (21, 3), (27, 3), (28, 5), (200, 5)],
    ids=str,
)
def test_balls_leave_the_window_with_its_sunday_and_then_the_gaps_grow(lacking, days_later, stale):
    """The log ends on a Monday of week 9; weeks 8 and 9 leave the window of four weeks on Mondays 12 and 13."""
    day = LAST_DAY + timedelta(days=days_later)
    rows = _on(lacking, day)

    assert [row["why"] for row in rows].count("not_lately") == stale
    assert [row["why"] for row in rows].count("never_met") == 1
    assert {row["days_since"] for row in rows if row["last_met_on"] == LAST_DAY} <= {days_later}


def test_two_unlucky_balls_in_twelve_make_no_weakness(lacking):
    assert {row["why"] for row in of(lacking, "report.gaps", "P2")} == {"never_met"}


@pytest.fixture(scope="module")
def probed():
    """P1 sits a test of two kinds of ball twice, a week apart, and then another test under its name."""
    sittings = [(0, ((40, 20), (40, 28))), (1, ((30, 24), (40, 32))), (3, ((40, 30),))]
    lines = [
        {**in_week(week), "player": "P1", "probe": "spring", **KINDS[kind], "balls": balls, "good": good}
        for week, own in sittings
        for kind, (balls, good) in enumerate(own)
    ]
    with a_judged_club(GRID, lines, **BALLS_ALONE) as club:
        yield club


def test_a_test_set_fed_again_tells_its_change_with_newcombes_printed_range(probed):
    """Newcombe (1998), Table II: 56 of 70 against 48 of 80 (second-hand). To see 60% become 70% needs 355.94 balls."""
    first, second, _ = of(probed, "report.probes", "P1")

    assert (first["rate"], first["change"], first["verdict"], first["days_since_first"]) == (0.6, None, "first", 0)
    assert (second["change"], second["change_low"], second["change_high"]) == pytest.approx(
        (0.20, 0.0524, 0.3339), abs=5e-5
    )
    assert (second["verdict"], second["days_since_first"], second["is_same_test"]) == ("better", 7, True)
    assert second["balls_needed"] == pytest.approx(355.94, abs=0.05)
    pooled = 104 / 150
    assert second["detectable_change"] == pytest.approx(1.959964 * (pooled * (1 - pooled) * (1 / 80 + 1 / 70)) ** 0.5)


def test_other_balls_under_the_same_name_are_another_test(probed):
    *_, third = of(probed, "report.probes", "P1")

    assert (third["is_same_test"], third["change"], third["verdict"]) == (False, None, "other_test")
    assert third["rate"] == 0.75
