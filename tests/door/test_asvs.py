"""The table `asvs.md` claims nothing that no test shows."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TABLE = (Path(__file__).parent / "asvs.md").read_text("utf-8")
ROWS = [[cell.strip() for cell in line.strip("|").split("|")] for line in TABLE.splitlines() if line[:3].strip("| ")]
REQUIREMENTS = [row for row in ROWS if re.fullmatch(r"\d+\.\d+\.\d+", row[0])]
NAMED = sorted(set(re.findall(r"`(tests/[\w/]+\.py)::(test_\w+)`", TABLE)))


@pytest.mark.parametrize(("file", "test"), NAMED)
def test_a_test_that_the_table_names_is_there(file: str, test: str) -> None:
    tree = ast.parse((ROOT / file).read_text("utf-8"))

    assert test in {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def test_what_has_no_test_says_that_it_is_not_met_or_does_not_apply() -> None:
    assert len(REQUIREMENTS) >= 40
    untested = [row for row in REQUIREMENTS if row[4] == "none"]

    assert [row[0] for row in untested if not re.match(r"\*\*not met|not applicable", row[3])] == []


def test_every_requirement_stands_there_once_with_its_level() -> None:
    numbers = [row[0] for row in REQUIREMENTS]

    assert len(numbers) == len(set(numbers))
    assert {row[1] for row in REQUIREMENTS} <= {"1", "2", "3"}
