"""The permits stand in one place: nothing in the dashboard goes around it."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

DASHBOARD = Path(__file__).parents[2] / "dashboard"
MODULES = sorted(DASHBOARD.rglob("*.py"))
VIEWS = sorted((DASHBOARD / "views").rglob("*.py"))

OWNERS = {"questions/__init__.py", "questions/asking.py", "at_table/handing_over.py"}
"""Beside the commands: where the questions live, and the worker that hands blocks over, which nobody on a page asks."""

CALLBACKS = {"on_click", "on_change", "on_submit"}


def named(file: Path) -> str:
    return str(file.relative_to(DASHBOARD))


def imported(file: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


@pytest.mark.parametrize("file", VIEWS, ids=named)
def test_no_page_asks_the_published_tables_but_by_a_question(file: Path) -> None:
    direct = {"sql.warehouse.ask", "sql.published_file.read_only", "sql.warehouse.warehouse", "sql.warehouse"}

    assert not direct & set(imported(file))


@pytest.mark.parametrize("file", VIEWS, ids=named)
def test_nothing_on_a_page_happens_before_it_is_known_who_asks(file: Path) -> None:
    """Streamlit runs callbacks before the script, and so before the session is looked up."""
    calls = [node for node in ast.walk(ast.parse(file.read_text("utf-8"))) if isinstance(node, ast.Call)]
    callbacks = [
        keyword.arg
        for call in calls
        for keyword in call.keywords
        if keyword.arg in CALLBACKS
        and not (isinstance(keyword.value, ast.Constant) and keyword.value.value == "ignore")
    ]

    assert not callbacks


@pytest.mark.parametrize("file", MODULES, ids=named)
def test_no_answer_is_kept_where_all_readers_share_it(file: Path) -> None:
    """Streamlit's caches are shared by everybody who is signed in."""
    text = file.read_text("utf-8")
    names = {node.attr for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Attribute)}

    assert not names & {"cache_data", "cache_resource"}


def test_only_the_command_line_asks_as_the_owner() -> None:
    users = {named(file) for file in MODULES if "owners_desk" in file.read_text("utf-8")}

    assert {user for user in users if not user.startswith("commands/")} <= OWNERS
