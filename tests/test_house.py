"""The house's own rules, held by tools and a few checks of our own."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml", "ingest", "models", "dashboard", "sql", "tests", "demo_data"),
    *("uv.lock", "LICENSE", ".gitignore", ".ci"),
}
PACKAGES = ("models", "sql", "ingest", "dashboard", "demo_data")
MODULES = sorted(file for package in PACKAGES for file in (ROOT / package).rglob("*.py"))
LONGEST_MODULE = 250
LONGEST_FUNCTION = 30


def run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False)


@pytest.mark.parametrize(
    "command",
    [
        ("ruff", "check", "--no-cache", "."),
        ("ruff", "format", "--no-cache", "--check", "."),
        ("mypy",),
    ],
    ids=["lint", "format", "types"],
)
def test_the_tools_find_nothing(command: tuple[str, ...]) -> None:
    done = run(*command)

    assert done.returncode == 0, done.stdout + done.stderr


def test_the_layer_law_and_the_library_fences_hold() -> None:
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 0, done.stdout


def tracked_files() -> list[str]:
    return subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split()


def test_the_top_level_is_the_fixed_one() -> None:
    assert {file.split("/")[0] for file in tracked_files()} <= TOP_LEVEL


def functions(text: str) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    return [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]


def too_long(text: str) -> list[str]:
    """The functions of more lines than a reader takes in at a look."""
    return [f.name for f in functions(text) if (f.end_lineno or 0) - f.lineno >= LONGEST_FUNCTION]


@pytest.mark.parametrize("file", MODULES, ids=lambda file: str(file.relative_to(ROOT)))
def test_modules_and_functions_stay_short(file: Path) -> None:
    text = file.read_text("utf-8")

    assert too_long(text) == []
    assert len(text.splitlines()) <= LONGEST_MODULE


def test_a_function_that_is_too_long_is_found_whatever_kind_it_is() -> None:
    lines = "    x = 1\n" * LONGEST_FUNCTION
    within = "    x = 1\n" * (LONGEST_FUNCTION - 1)

    assert too_long(f"def a():\n{lines}async def b():\n{lines}def c():\n{within}async def d():\n{within}") == ["a", "b"]


def test_nothing_outside_sql_and_the_questions_speaks_to_a_database() -> None:
    """The club file and the warehouse are asked by named functions of `sql/`; a page asks `dashboard/questions`."""
    speaks = re.compile(r"\.(execute|executemany|executescript)\(")
    outside = [file for file in MODULES if file.relative_to(ROOT).parts[0] != "sql"]

    assert [str(file.relative_to(ROOT)) for file in outside if speaks.search(file.read_text("utf-8"))] == []
    assert any(speaks.search(file.read_text("utf-8")) for file in MODULES), "the pattern finds what there is"


def test_no_test_is_empty() -> None:
    tests = [(file, f) for file in (ROOT / "tests").rglob("test_*.py") for f in functions(file.read_text("utf-8"))]
    asserting = re.compile(r"\bassert\b|pytest\.raises|pytest\.fail|require_loopback|assert_|expect\(|must_")
    empty = [
        f"{file.name}: {f.name}"
        for file, f in tests
        if f.name.startswith("test_") and not asserting.search(ast.unparse(f))
    ]

    assert not empty


def test_the_readme_opens_with_the_job_and_names_the_commands() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")

    assert readme.split("\n\n")[1].startswith("A table-tennis coach trains a club's players with ball feeders")
    assert "pip install uv && uv run halflong demo" in readme
    assert "\nuv run pytest\nuv run pytest -m proof\n" in readme


def test_every_command_is_told_in_the_readme() -> None:
    from dashboard.command_line import app

    readme = (ROOT / "README.md").read_text("utf-8")
    names = [command.name for command in app.registered_commands]

    assert [name for name in names if f"{name}" not in readme] == []
