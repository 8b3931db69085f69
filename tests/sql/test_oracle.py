"""The SQL against the slow plain oracle, on random clubs: every column of every row."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from models.settings import Settings
from sql.catalogue import models_in_order
from tests.oracle import Batch, Oracle, Row
from tests.sql.clubs import Club, a_club, nearly
from tests.sql.random_clubs import A_SETTING, some_batches

GRAIN = {model.table: model.grain for model in models_in_order()}

A_CLUB = st.tuples(A_SETTING, some_batches(1))
A_NEIGHBOUR = st.tuples(A_SETTING, some_batches(101))


def load(club: Club, batches: tuple[Batch, ...]) -> None:
    for batch in batches:
        club.batches = batch.number - 1
        club.load(batch.kind, *batch.lines, refused=batch.refused, file_name=batch.file_name)
    for batch in batches:
        if batch.is_withdrawn:
            club.withdraw(batch.number)


def in_order(rows: list[Row], grain: tuple[str, ...]) -> list[Row]:
    return sorted(rows, key=lambda row: [row[name] for name in grain])


def sql_and_oracle(*clubs: tuple[Settings, tuple[Batch, ...]]) -> dict[str, tuple[list[Row], list[Row]]]:
    """For each table what the SQL says and what the oracle says, over clubs that share one warehouse."""
    named = [(settings.model_copy(update={"club_id": f"c{at}"}), log) for at, (settings, log) in enumerate(clubs)]
    oracles = [Oracle(settings, batches).tables() for settings, batches in named]
    with a_club(**named[0][0].model_dump()) as first:
        load(first, named[0][1])
        for club_settings, batches in named[1:]:
            load(first.neighbour(club_settings), batches)
        first.build()
        return {
            table: (
                in_order(first.rows(table), GRAIN[table]),
                in_order([row for oracle in oracles for row in oracle[table]], GRAIN[table]),
            )
            for table in oracles[0]
        }


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(A_CLUB, A_NEIGHBOUR)
def test_the_sql_and_the_oracle_agree_on_every_column_of_two_clubs_in_one_warehouse(club, neighbour):
    for table, (said, expected) in sql_and_oracle(club, neighbour).items():
        assert (table, expected) == (table, nearly(expected, said, 1e-9))
