"""The table `asvs.md` claims nothing that no test shows."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TABLE = (Path(__file__).parent / "asvs.md").read_text("utf-8")
ROWS = [[cell.strip() for cell in line.strip("|").split("|")] for line in TABLE.splitlines() if line[:3].strip("| ")]
REQUIREMENTS = [row for row in ROWS if re.fullmatch(r"\d+\.\d+\.\d+( to \d+\.\d+\.\d+)?", row[0])]
NAMED = sorted(set(re.findall(r"`(tests/[\w/]+\.py)::(test_\w+)`", TABLE)))


# The levels of the requirements of each section, in their order: ASVS 5.0, folder 5.0/en. Chapter 17, where no audio or
# video is sent, stands there in one row.
LEVELS = {
    "1.1": "22",
    "1.2": "1111122223",
    "1.3": "112222222223",
    "1.4": "222",
    "1.5": "123",
    "2.1": "122",
    "2.2": "112",
    "2.3": "12223",
    "2.4": "23",
    "3.2": "11",
    "3.3": "12223",
    "3.4": "1122223",
    "3.5": "1112233",
    "3.7": "22333",
    "4.1": "12233",
    "4.2": "23333",
    "4.3": "22",
    "4.4": "1222",
    "5.1": "2",
    "5.2": "112333",
    "5.3": "113",
    "5.4": "222",
    "6.1": "122",
    "6.2": "111111122223",
    "6.3": "12233333",
    "6.4": "112233",
    "6.5": "22222333",
    "6.6": "2223",
    "6.7": "33",
    "6.8": "2222",
    "7.1": "222",
    "7.2": "1111",
    "7.3": "22",
    "7.4": "11222",
    "7.5": "223",
    "7.6": "22",
    "8.1": "1233",
    "8.2": "1123",
    "8.3": "133",
    "8.4": "23",
    "9.1": "111",
    "9.2": "1222",
    "10.1": "22",
    "10.2": "223",
    "10.3": "22223",
    "10.4": "1111122222233333",
    "10.5": "22222",
    "10.6": "22",
    "10.7": "222",
    "11.1": "2233",
    "11.2": "22233",
    "11.3": "11233",
    "11.4": "122",
    "11.5": "23",
    "11.6": "23",
    "12.1": "12233",
    "12.2": "11",
    "12.3": "22223",
    "13.1": "2333",
    "13.2": "222223",
    "13.3": "2233",
    "13.4": "1222233",
    "14.1": "22",
    "14.2": "12223333",
    "14.3": "122",
    "15.1": "12233",
    "15.2": "12233",
    "15.3": "1222222",
    "16.1": "2",
    "16.2": "22222",
    "16.3": "2222",
    "16.4": "222",
    "16.5": "2223",
}


def numbers_of(row: list[str]) -> list[str]:
    """The requirements of a row, which may be several of one section."""
    first, _, last = row[0].partition(" to ")
    section, _, begin = first.rpartition(".")
    end = last.rpartition(".")[2] or begin
    return [f"{section}.{number}" for number in range(int(begin), int(end) + 1)]


def test_no_requirement_of_levels_1_and_2_is_missing_and_each_has_its_level() -> None:
    listed = {number: row[1] for row in REQUIREMENTS for number in numbers_of(row) if not number.startswith("17.")}
    levels = {f"{section}.{at}": level for section, of in LEVELS.items() for at, level in enumerate(of, start=1)}

    assert {number: levels.get(number) for number in listed} == listed
    assert {number for number, level in levels.items() if level != "3"} - listed.keys() == set()


@pytest.mark.parametrize(("file", "test"), NAMED)
def test_a_test_that_the_table_names_is_there(file: str, test: str) -> None:
    tree = ast.parse((ROOT / file).read_text("utf-8"))

    assert test in {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def test_what_has_no_test_says_that_it_is_not_met_or_does_not_apply() -> None:
    assert len(REQUIREMENTS) >= 200
    untested = [row for row in REQUIREMENTS if row[4] == "none"]

    assert [row[0] for row in untested if not re.match(r"\*\*not met|not applicable", row[3])] == []


def test_every_requirement_stands_there_once_with_its_level() -> None:
    numbers = [number for row in REQUIREMENTS for number in numbers_of(row)]

    assert len(numbers) == len(set(numbers))
    assert {row[1] for row in REQUIREMENTS} <= {"1", "2", "3"}
