"""A command loads what it uses: which modules stand behind it is told in one table, and heavy ones stay away."""

import subprocess
import sys

import pytest

from dashboard.command_line import MODULES, app

TOLD = {name: f"dashboard.commands.{module}" for module, names in MODULES.items() for name in names}

SEEN = """
import sys
from dashboard.command_line import registered
registered({asked!r})
print(sorted({{name.split('.')[0] for name in sys.modules}} & {{'scipy', 'streamlit', 'altair', 'typst', 'starlette'}}))
print('ingest.loading' in sys.modules)
"""


def test_every_command_stands_in_the_module_that_the_table_names() -> None:
    groups = {group.name for group in app.registered_groups}
    found = {
        **{command.name: command.callback.__module__ for command in app.registered_commands if command.callback},
        **{
            name: f"dashboard.commands.{module}"
            for module, names in MODULES.items()
            for name in names
            if name in groups
        },
    }

    assert found == {name: f"dashboard.commands.{module}" for module, names in MODULES.items() for name in names}


@pytest.mark.parametrize(("asked", "is_light"), [("query", True), ("load", False)])
def test_a_command_loads_what_it_uses(asked: str, is_light: bool) -> None:
    done = subprocess.run([sys.executable, "-c", SEEN.format(asked=asked)], capture_output=True, text=True, check=True)

    assert (done.stdout.split() == ["[]", "False"]) == is_light
