"""The models keep to the subset of SQL that other engines answer alike, and the rules that say so do bite."""

from collections.abc import Iterator

import duckdb
import pytest

from sql.catalogue import models_in_order
from sql.federation.portable import RULES, STORED_TYPES, offences
from tests.sql.clubs import a_club

MODELS = models_in_order()


@pytest.fixture(scope="module")
def built() -> Iterator[duckdb.DuckDBPyConnection]:
    with a_club() as club:
        yield club.build().connection


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.table)
def test_a_model_keeps_to_the_portable_subset(built, model):
    assert offences(built, model.query) == set()


def test_every_stored_column_has_a_type_that_every_engine_knows(built):
    """A sum of whole numbers without a cast would be wider than any of them."""
    columns = built.execute(
        "select table_name, column_name, data_type from duckdb_columns() where schema_name in ('core', 'report')"
    ).fetchall()

    assert len(columns) == sum(len(model.columns) for model in MODELS)
    assert [column for column in columns if column[2] not in STORED_TYPES] == []


def test_what_the_models_are_made_of_is_no_offence(built):
    query = """
        with numbers(k) as (values (1), (2)),
        counted as (
            select l.player_id, date_diff('day', l.session_date, l.week) as days, count(*) as lines,
                sum(cast(round(1e12 * l.minutes) as bigint)) / 1e12 as minutes,
                avg(l.balls) / nullif(sum(l.balls), 0) as mean
            from core.fed_lines as l cross join numbers
            where l.minutes between 1e0 and 5e0
                and exists (select 1 from core.players as p where p.player_id = l.player_id)
            group by l.player_id, l.session_date, l.week
        )
        select c.player_id, c.days, c.lines, c.minutes, c.mean / 2 as mean, c.mean / ln(2e0) as bits,
            cast(c.lines as varchar) as text
        from counted as c left join core.players as p on c.player_id = p.player_id
        qualify row_number() over (partition by c.player_id order by c.days) = 1
    """

    assert offences(built, query) == set()


OFFENDERS = {
    "a constant with a point is a decimal: write 1e0": ["select balls * 0.5 as x from core.sessions"],
    "a function that is not on the list": [
        "select log(minutes) as x from core.sessions",
        "select list(balls) as x from core.sessions",
        "select hash(player_id) as x from core.sessions",
        "select quantile_cont(minutes, 0e0) as x from core.sessions",
        "select stddev(minutes) as x from core.sessions",
        "select entropy(player_id) as x from core.sessions",
        "select atan2(minutes, effort) as x from core.sessions",
        "select blocks // 2 as x from core.sessions",
        "select session_date + interval 1 day as x from core.sessions",
        "select isodow(session_date) as x from core.sessions",
        "select [blocks] as x from core.sessions",
        "select {'a': blocks} as x from core.sessions",
        "select ntile(4) over (order by player_id) as x from core.sessions",
    ],
    "a form of expression that is not on the list": [
        "select player_id collate nocase as x from core.sessions",
        "select abs(x -> x + 1) as x from core.sessions",
    ],
    "an operator that is not on the list": [
        "select player_id[1] as x from core.sessions",
        "select player_id[1:2] as x from core.sessions",
        "select try(balls) as x from core.sessions",
    ],
    "a comparison of distinctness: compare, and say what null means": [
        "select s.balls from core.sessions as s where s.minutes is not distinct from s.effort"
    ],
    "a source that is not a table, a join or values": [
        "select 1 as x from range(3)",
        "select 1 as x from (select balls from core.sessions)",
        "select 1 as x from read_csv('x.csv')",
    ],
    "a join that is not inner, left, full or cross with 'on'": [
        "select s.balls from core.sessions as s join core.players as p using (player_id)",
        "select s.balls from core.sessions as s natural join core.players as p",
        "select s.balls from core.sessions as s semi join core.players as p on s.player_id = p.player_id",
        "select s.balls from core.sessions as s right join core.players as p on s.player_id = p.player_id",
        "select s.balls from core.sessions as s positional join core.players as p",
        "select s.balls from core.sessions as s asof join core.weeks as w on s.session_date >= w.week",
    ],
    "a query that is not a select or a union": [
        "select balls from core.sessions except select balls from core.sessions",
        "select balls from core.sessions union by name select balls from core.sessions",
        "with recursive r as (select 1 as x union all select x from r where x < 3) select x from r",
    ],
    "a 'with' inside another: write them one after the other": [
        "with a as (with b as (select balls from core.sessions) select balls from b) select balls from a"
    ],
    "a hint to materialise": ["with a as materialized (select balls from core.sessions) select balls from a"],
    "group by all: write the columns out": ["select player_id, sum(balls) as x from core.sessions group by all"],
    "a sample is another one elsewhere": [
        "select balls from core.sessions using sample 5",
        "select balls from core.sessions tablesample 5 rows",
    ],
    "a limit, or distinct on: take row_number by a unique key": [
        "select balls from core.sessions limit 3",
        "select distinct on (player_id) balls from core.sessions",
    ],
    "a star that picks or renames columns": [
        "with a as (select * exclude (balls) from core.sessions) select good from a",
        "with a as (select columns('b.*') from core.sessions) select balls from a",
        "select balls from core.sessions order by all",
    ],
    "a star in the final select": [
        "select * from core.sessions",
        "select s.* from core.sessions as s",
        "select balls from core.sessions union all select * from core.sessions",
    ],
    "a window without order, with distinct, filter, exclude or groups": [
        "select row_number() over () as x from core.sessions",
        "select lag(balls) over (partition by player_id) as x from core.sessions",
        "select count(distinct balls) over (partition by player_id) as x from core.sessions",
        "select sum(balls) filter (where good > 0) over (partition by player_id) as x from core.sessions",
        "select sum(balls) over (order by week groups 1 preceding) as x from core.sessions",
        "select sum(balls) over (order by week rows 1 preceding exclude ties) as x from core.sessions",
    ],
    "an aggregate with an order of its own": ["select sum(minutes order by week) as x from core.sessions"],
    "a cast that may fail, or to a type that is not stored": [
        "select try_cast(player_id as bigint) as x from core.sessions",
        "select cast(balls as hugeint) as x from core.sessions",
        "select cast(minutes as decimal(9, 2)) as x from core.sessions",
        "select cast(session_id as uuid) as x from core.sessions",
    ],
    "text made of a double": [
        "select cast(minutes as varchar) as x from core.sessions",
        "select cast(balls / 2 as varchar) as x from core.sessions",
        "with a as (select balls / 2 as h from core.sessions) select cast(coalesce(b.h, 0) as varchar) as x from a b",
    ],
    "a double cast to a whole number: round or floor it first": [
        "select cast(minutes as bigint) as x from core.sessions",
        "select cast(case when effort > 3 then minutes else 0 end as integer) as x from core.sessions",
        "with a as (select sum(minutes) as minutes from core.sessions) select cast(minutes as bigint) as x from a",
    ],
    "a division by what may be zero: nullif(x, 0)": [
        "select good / balls as x from core.sessions",
        "select good / ln(balls) as x from core.sessions",
    ],
    "a sum of doubles, which depends on the order of the rows: add whole parts, round(1e12 * x)": [
        "select sum(minutes) as x from core.sessions",
        "select avg(minutes / 2e0) as x from core.sessions",
    ],
    "a difference of days: date_diff": ["select session_date - week as x from core.sessions"],
    "date_trunc without a cast to date": [
        "select date_trunc('week', session_date) as x from core.sessions",
        "select cast(date_trunc('week', session_date) as timestamp) as x from core.sessions",
    ],
    "date_diff of anything but days": ["select date_diff('week', week, session_date) as x from core.sessions"],
    "a column that no table has: an alias cannot be used beside its definition": [
        "select balls + good as total, total + 1 as more from core.sessions"
    ],
}


@pytest.mark.parametrize(("rule", "query"), [(rule, query) for rule, queries in OFFENDERS.items() for query in queries])
def test_a_planted_offender_is_caught(built, rule, query):
    assert rule in offences(built, query)


def test_every_rule_has_a_planted_offender():
    assert set(RULES) == set(OFFENDERS)
