"""A command loads what it uses: which modules stand behind it is told in one table, and heavy ones stay away."""

import inspect
import subprocess
import sys

import pytest
from typer.testing import CliRunner

from dashboard.command_line import MODULES, app

HEAVY = {"altair", "duckdb", "ingest.loading", "numpy", "polars", "rich.progress", "scipy", "starlette", "streamlit"}

LOADED = """
import sys
from dashboard import command_line
sys.argv = ["halflong", *{typed!r}]
try:
    command_line.main()
except SystemExit:
    pass
print(*sys.modules, sep="\\n")
"""


def loaded(*typed: str) -> set[str]:
    """Which of the heavy modules a command loads."""
    command = [sys.executable, "-c", LOADED.format(typed=typed)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return HEAVY & set(done.stdout.splitlines())


def test_every_command_stands_in_the_module_that_the_table_names_and_does_what_the_table_says() -> None:
    found = {group.name: str(group.typer_instance.info.help) for group in app.registered_groups if group.typer_instance}
    modules = {}
    for command in app.registered_commands:
        assert command.callback
        modules[command.name] = command.callback.__module__
        found[command.name] = inspect.getdoc(command.callback).split("\n\n")[0].replace("\n", " ")

    assert found == {name: said for commands in MODULES.values() for name, said in commands.items()}
    assert modules.items() <= {(name, f"dashboard.commands.{module}") for module in MODULES for name in MODULES[module]}


def test_who_asks_what_there_is_or_for_the_help_of_query_loads_nothing_heavy() -> None:
    assert loaded("--help") == set()
    assert loaded("query", "--help") == set()


def test_a_question_does_without_what_loads_and_judges(tmp_path: pytest.TempPathFactory) -> None:
    assert loaded("query", "select 1", "--data", str(tmp_path)) <= {"duckdb", "numpy", "polars"}


def test_the_list_of_a_group_tells_whole_sentences() -> None:
    told = CliRunner().invoke(app, ["account", "--help"]).output

    assert "Make an account and print a link for its person: good once, for seven days." in " ".join(told.split())
