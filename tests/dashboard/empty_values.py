"""A club in which whatever may be empty is empty somewhere, and every verdict falls: rows as no single log gives them.

What may be empty, why, and which verdicts there are is read from the headers of the published tables. The rows of a
published file are changed so, one after the other in turn, and still keep every check of their table.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations, product

import duckdb

from models.words import ALL_WORD_LISTS, COVERAGE_DIMENSIONS
from sql.catalogue import Contract, models_in_order
from sql.judging import judgements_in_order
from sql.literals import literal

BY_ITSELF = ("not noted", "none", "nothing", "not known", "not measured")
"""Reasons for which a column is empty whatever the others are. All that give another reason are empty at once."""

ANY = "any"
"""Why a dimension is empty that a target does not name; that is so for a whole grid, never for one row."""

LEFT_AS_THEY_ARE = ("report.build", "report.block_likeness", "core.words")
"""A club has one row of the first two; the words are the same for every club."""

WORDS_OF_THE_LOG = {words.name for words in ALL_WORD_LISTS}

COPIED = {"core.feeders": "feeder_id", "report.dial_calibrations": "feeder_id", "report.probes": "probe"}
"""Tables with fewer rows than there are changes, and the code by which copies of their rows are told apart."""

COPIES = 4

COUNTED_AT_THE_TABLE = """
insert into core.table_blocks by name
select s.club_id, row_number() over (order by s.session_id, s.player_id) as batch,
    s.player_id, s.session_id, s.session_date, 1 as block,
    s.balls, s.good, 'Nora Quill' as counted_by, 'M. Roe' as coach, now()::timestamp as loaded_at, true as is_own,
    'M. Roe' as accepted_by
from core.sessions as s order by s.session_id, s.player_id limit 12
"""
"""The demo club has no block that was counted at the table."""

Change = dict[str, str]
"""The new values of some columns, as SQL."""


@dataclass(frozen=True)
class Hollowed:
    """A published table, and how its rows may be changed."""

    contract: Contract

    @cached_property
    def reasons(self) -> dict[str, str]:
        """Why a column may be empty, by column."""
        told = {name: re.search(r"empty: ([^)]*)\)", meaning) for name, meaning in self.contract.columns.items()}
        return {name: found[1] for name, found in told.items() if found and found[1] != ANY}

    @cached_property
    def emptied_together(self) -> list[tuple[str, ...]]:
        """The sets of columns that are empty together."""
        shared = dict.fromkeys(reason for reason in self.reasons.values() if reason not in BY_ITSELF)
        alone = [(name,) for name, reason in self.reasons.items() if reason in BY_ITSELF]
        return alone + [tuple(name for name in self.reasons if self.reasons[name] == reason) for reason in shared]

    @cached_property
    def verdicts(self) -> dict[str, list[str]]:
        """The words of each column that holds a verdict."""
        own = {name: _listed(text) for name, text in self.contract.columns.items() if name not in WORDS_OF_THE_LOG}
        return {name: words for name, words in own.items() if len(words) > 2 and name not in self.contract.grain}

    def changes(self) -> list[Change]:
        """Every verdict with everything there and with each set empty; without verdicts, each set empty."""
        said = [{name: literal(word)} for name, words in self.verdicts.items() for word in words] or [{}]
        empty = [{}, *(dict.fromkeys(names, "null") for names in self.emptied_together)]
        return [verdict | nothing for verdict, nothing in product(said, empty) if verdict or nothing]

    def ways(self, change: Change, full: Change, flags: Iterable[str]) -> Iterator[Change]:
        """The change, with more that may have to go with it: what is there, what else is empty, what is true."""
        others = _subsets([names for names in self.emptied_together if names[0] not in change])
        told = [dict(zip(flags, values, strict=True)) for values in product(("true", "false"), repeat=len(list(flags)))]
        for more, flag in product(others, told):
            yield full | flag | dict.fromkeys(chain.from_iterable(more), "null") | change

    def is_kept(self, change: Change) -> str:
        """SQL: the checks that a row with the change keeps all of, beside its row number."""
        checks = " and ".join(f"coalesce({check.condition}, true)" for check in self.contract.checks) or "true"
        changed = ", ".join(f'{value} as "{name}"' for name, value in change.items())
        rows = f"select * replace ({changed}), rowid as number from {self.contract.table}"
        return f"select number from ({rows}) where {checks}"


def _listed(meaning: str) -> list[str]:
    """The words of `empty (never met), stale (not lately) or covered`."""
    plain = re.sub(r"\s*\([^)]*\)", "", meaning)
    return [part for part in re.split(r",\s*|\s+or\s+", plain) if re.fullmatch(r"[a-z_]+", part)]


def _subsets(names: list[tuple[str, ...]]) -> Iterator[tuple[tuple[str, ...], ...]]:
    return chain.from_iterable(combinations(names, size) for size in range(len(names) + 1))


def hollowed_tables() -> list[Hollowed]:
    """Every published table of which something may be empty or a verdict."""
    tables = map(Hollowed, (*models_in_order(), *judgements_in_order()))
    return [table for table in tables if table.contract.table not in LEFT_AS_THEY_ARE and table.changes()]


def hollow(connection: duckdb.DuckDBPyConnection) -> None:
    """Change the rows of a published file: the n-th row takes the n-th change, and so on in turn."""
    _name_fewer_dimensions(connection)
    for name, code in COPIED.items():
        copies = f"select * replace (concat({code}, '-', n) as {code}) from {name} cross join range({COPIES}) as c(n)"
        connection.execute(f"insert into {name} {copies.replace('select *', 'select * exclude (n)')}")
    connection.execute(COUNTED_AT_THE_TABLE)
    for table in hollowed_tables():
        _change(connection, table)
    # Who has no target is not judged: the one thing that no check of a single table can tell.
    connection.execute(
        "update report.standing as s set standing = 'no_target' from report.variety as v where v.cells is null and"
        " s.week = v.week and s.player_id = v.player_id and s.standing = 'judged'"
    )


def _change(connection: duckdb.DuckDBPyConnection, table: Hollowed) -> None:
    full, flags = _fullest(connection, table), _flags(connection, table)
    kept = [way for change in table.changes() if (way := _first_kept(connection, table, change, full, flags))]
    found: list[Change] = [{}, *kept]
    order = ", ".join(f"{name} desc" if name == "week" else name for name in _in_turn(table.contract))
    name = table.contract.table
    connection.execute(
        f"create temp table turns as select rowid as number, (row_number() over (order by {order}) - 1) % {len(found)}"
        f" as turn from {name}"
    )
    for turn, change in enumerate(found[1:], start=1):
        changed = ", ".join(f'"{column}" = {value}' for column, value in change.items())
        mine = f"select number from turns where turn = {turn} intersect {table.is_kept(change)}"
        connection.execute(f"update {name} set {changed} where rowid in ({mine})")
    connection.execute("drop table turns")


def _in_turn(contract: Contract) -> list[str]:
    """The latest week first, of which pages speak, and player by player."""
    return sorted(
        contract.grain, key=lambda name: ("week", "player_id").index(name) if name in ("week", "player_id") else 2
    )


def _first_kept(
    connection: duckdb.DuckDBPyConnection, table: Hollowed, change: Change, full: Change, flags: list[str]
) -> Change | None:
    for way in table.ways(change, full, flags):
        if connection.execute(f"{table.is_kept(way)} limit 1").fetchone():
            return way
    return None


def _fullest(connection: duckdb.DuckDBPyConnection, table: Hollowed) -> Change:
    """What may be empty, as it is in the row in which the least is."""
    names = list(table.reasons)
    if not names or not table.verdicts:
        return {}
    empty = " + ".join(f'cast("{name}" is null as integer)' for name in names)
    quoted = ", ".join(f'"{name}"' for name in names)
    row = connection.execute(f"select {quoted} from {table.contract.table} order by {empty}, rowid limit 1").fetchone()
    found = {name: value for name, value in zip(names, row or (), strict=True) if value is not None}
    return {name: f'coalesce("{name}", {literal(value)})' for name, value in found.items()}


def _flags(connection: duckdb.DuckDBPyConnection, table: Hollowed) -> list[str]:
    described = connection.execute(f"describe {table.contract.table}").fetchall()
    return [name for name, kind, *_ in described if kind == "BOOLEAN" and table.verdicts and name not in table.reasons]


def _name_fewer_dimensions(connection: duckdb.DuckDBPyConnection) -> None:
    """Of as many players as there are dimensions in the grid, one names this dimension no longer and another that."""
    named = [row[0] for row in connection.execute("select distinct dimension from report.coverage_by_value").fetchall()]
    players = connection.execute("select distinct player_id from report.coverage order by player_id").fetchall()
    for words, (player,) in zip([w for w in COVERAGE_DIMENSIONS if w.name in named], players, strict=False):
        for table in ("report.coverage", "report.gaps"):
            first = f"(select min({words.name}) from {table} where player_id = {literal(player)})"
            connection.execute(f"delete from {table} where player_id = {literal(player)} and {words.name} <> {first}")
            connection.execute(f"update {table} set {words.name} = null where player_id = {literal(player)}")
        for table in ("coverage_by_value", "coverage_by_pair"):
            either = " or other_dimension = $dimension" if table == "coverage_by_pair" else ""
            connection.execute(
                f"delete from report.{table} where player_id = $player and (dimension = $dimension{either})",
                {"player": player, "dimension": words.name},
            )
