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
    direct |= {"sql.federation.clubs.clubs_table", "sql.federation.clubs.published", "sql.federation.clubs"}
    direct |= {"sql.federation.one_club.club_weeks", "sql.federation.one_club.club_values", "sql.federation.one_club"}

    assert not direct & set(imported(file))


REACHES_THE_CLUB = {"desk", "folder", "club_file", "Desk", "DataFolder"}
"""What a function needs to ask or change anything of the club."""


def names_in(node: ast.AST) -> set[str]:
    return {part.id for part in ast.walk(node) if isinstance(part, ast.Name)}


def callbacks_of(file: Path) -> Iterator[ast.AST]:
    """What is called back, with what it is handed; where that is a function of the same module, all of it."""
    tree = ast.parse(file.read_text("utf-8"))
    functions = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call | ast.Dict)):
        pairs = (
            [(keyword.arg, keyword.value) for keyword in call.keywords]
            if isinstance(call, ast.Call)
            else [
                (key.value, value) for key, value in zip(call.keys, call.values, strict=True) if hasattr(key, "value")
            ]
        )
        if not CALLBACKS & {name for name, _ in pairs}:
            continue
        for _, value in (pair for pair in pairs if pair[0] in {*CALLBACKS, "args", "kwargs"}):
            yield value
            yield from (functions[name] for name in names_in(value) & functions.keys())


@pytest.mark.parametrize("file", VIEWS, ids=named)
def test_nothing_on_a_page_happens_before_it_is_known_who_asks(file: Path) -> None:
    """Streamlit runs callbacks before the script, and so before the session is looked up.

    A callback may change what lies on the page, which is drawn only once it is known for whom; it gets nothing by which
    the club's files could be reached.
    """
    assert not {name for callback in callbacks_of(file) for name in names_in(callback)} & REACHES_THE_CLUB


def test_a_callback_that_reaches_the_club_is_found(tmp_path: Path) -> None:
    planted = {
        "handed": "st.button('x', on_click=note, args=(desk, 1))",
        "closed over": "st.button('x', on_click=lambda: note(desk))",
        "within": "def go():\n    note(desk)\n\nst.button('x', on_click=go)",
        "by name": "more = {'key': 'x', 'on_change': note, 'args': (desk,)}",
    }
    for name, text in planted.items():
        (tmp_path / f"{name}.py").write_text(text, encoding="utf-8")

    found = {file.stem: {n for c in callbacks_of(file) for n in names_in(c)} for file in tmp_path.glob("*.py")}
    assert [name for name, names in found.items() if "desk" not in names] == []


@pytest.mark.parametrize("file", MODULES, ids=named)
def test_no_answer_is_kept_where_all_readers_share_it(file: Path) -> None:
    """Streamlit's caches are shared by everybody who is signed in."""
    text = file.read_text("utf-8")
    names = {node.attr for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Attribute)}

    assert not names & {"cache_data", "cache_resource"}


def test_only_the_command_line_asks_as_the_owner() -> None:
    users = {named(file) for file in MODULES if "owners_desk" in file.read_text("utf-8")}

    assert {user for user in users if not user.startswith("commands/")} <= OWNERS
