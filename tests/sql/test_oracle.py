"""The SQL against the slow plain oracle, on random clubs: every column of every row."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from hypothesis import HealthCheck, given, settings

from sql.catalogue import models_in_order
from tests.oracle import Oracle
from tests.oracle_log import Batch, Row
from tests.sql.clubs import Club, a_club, nearly
from tests.sql.random_clubs import RandomClubs, some_clubs

GRAIN = {model.table: model.grain for model in models_in_order()}


def load(club: Club, batches: tuple[Batch, ...]) -> None:
    for batch in batches:
        about = {"batch": batch.number, "file_name": batch.file_name} | ({"is_own": True} if batch.is_own else {})
        club.store(batch.kind, batch.lines, batch.refused, **about)
    for batch in batches:
        if batch.is_accepted:
            club.accept(batch.number)
        if batch.is_withdrawn:
            club.withdraw(batch.number)


def in_order(table: str, rows: list[Row]) -> list[Row]:
    return sorted(rows, key=lambda row: [row[name] for name in GRAIN[table]])


@contextmanager
def one_warehouse(clubs: RandomClubs) -> Iterator[Club]:
    """The clubs loaded and built together, as in a federation."""
    with a_club(**clubs[0][0].model_dump()) as first:
        load(first, clubs[0][1])
        for club_settings, batches in clubs[1:]:
            load(first.neighbour(club_settings), batches)
        yield first.build()


A_FEW = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])


def assert_the_oracle_agrees(clubs: RandomClubs) -> None:
    oracles = [Oracle(*club).tables() for club in clubs]

    with one_warehouse(clubs) as built:
        for table in oracles[0]:
            expected = in_order(table, [row for oracle in oracles for row in oracle[table]])
            said = in_order(table, built.rows(table))
            assert (table, expected) == (table, nearly(expected, said, 1e-9))


@settings(A_FEW, max_examples=2)
@given(some_clubs())
def test_the_sql_and_the_oracle_agree_on_every_column_of_clubs_that_share_a_warehouse(clubs):
    assert_the_oracle_agrees(clubs)


@pytest.mark.proof
@settings(A_FEW, max_examples=40)
@given(some_clubs())
def test_they_agree_on_many_such_clubs(clubs):
    assert_the_oracle_agrees(clubs)


BALANCES = {
    "the balls of every cut that no line leaves empty are all balls": """
        select cut, sum(balls) from core.cut_weeks
        where cut in ('all', 'setup', 'depth', 'side', 'spin_family', 'spin', 'length')
        group by club_id, cut
        having sum(balls) <> (select sum(balls) from core.fed_lines as l where l.club_id = cut_weeks.club_id)
    """,
    "no cut has more balls or good balls than there are": """
        select * from core.success_windows as s join core.success_windows as a using (club_id, week, player_id)
        where a.cut = 'all' and (s.balls > a.balls or s.good > a.good)
    """,
    "the balls of the combinations are the balls in the grid": """
        select v.balls_in_grid, sum(c.balls) from report.variety as v
        left join report.coverage as c using (club_id, week, player_id)
        group by v.club_id, v.week, v.player_id, v.balls_in_grid
        having v.balls_in_grid <> coalesce(sum(c.balls), 0)
    """,
    "the wanted shares of a grid add to 1": """
        select sum(wanted_share) from core.grid_cells group by club_id, target, applies_to
        having abs(sum(wanted_share) - 1) > 1e-9
    """,
    "the balls of the weeks of the club are all balls": """
        select club_id from report.club_week group by club_id
        having sum(balls) <> (select sum(balls) from core.fed_lines as l where l.club_id = club_week.club_id)
    """,
    "the pairs covered are those of the report of pairs": """
        select v.pairs_covered from report.variety as v
        join report.coverage_by_pair as p using (club_id, week, player_id)
        group by v.club_id, v.week, v.player_id, v.pairs, v.pairs_covered
        having v.pairs <> count(*) or v.pairs_covered <> count(*) filter (where is_covered)
    """,
}


def assert_the_sums_balance(clubs: RandomClubs) -> None:
    with one_warehouse(clubs) as built:
        offending = {rule: built.connection.execute(query).fetchall() for rule, query in BALANCES.items()}

    assert {rule: [] for rule in BALANCES} == offending


@settings(A_FEW, max_examples=1)
@given(some_clubs())
def test_the_sums_of_a_club_balance(clubs):
    assert_the_sums_balance(clubs)


@pytest.mark.proof
@settings(A_FEW, max_examples=20)
@given(some_clubs())
def test_the_sums_of_many_clubs_balance(clubs):
    assert_the_sums_balance(clubs)
