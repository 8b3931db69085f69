"""A sheet while it is typed back: whose line comes next, and what a line of counts alone is of."""

import pytest

from models.typed_sheet import TypedSheet
from models.written_line import NotReadable

SETUPS = ("BC", "NC")


def typed(sheet: TypedSheet, *lines: str) -> TypedSheet:
    for line in lines:
        sheet = sheet.typed(line, SETUPS)
    return sheet


def test_one_players_blocks_follow_the_last_in_the_log():
    sheet = typed(TypedSheet(["ADA"], {"ADA": 3}), "BC t l 30 21", "30 25 3 1 1 0", "nc b s t40 20 9")

    assert sheet.lines == (
        {"setup": "BC", "spin": "topspin", "length": "long", "balls": "30", "good": "21", "player": "ADA",
         "block": "3"},
        {"setup": "BC", "spin": "topspin", "length": "long", "balls": "30", "good": "25", "net": "3", "long": "1",
         "wide": "1", "missed": "0", "player": "ADA", "block": "4"},
        {"setup": "NC", "spin": "backspin", "length": "short", "tempo_bpm": "40", "balls": "20", "good": "9",
         "player": "ADA", "block": "5"},
    )  # fmt: skip
    assert sheet.expects == ("ADA", 6)
    assert sheet.without_last().expects == ("ADA", 5)


def test_a_groups_counts_go_from_row_to_row_and_a_minus_leaves_one_out():
    group = TypedSheet(["ADA", "BEN", "CLEO"], {"ADA": 1, "BEN": 4, "CLEO": 1})

    sheet = typed(group, "BC t l", "30 21", "-", "30 11", "NC b s", "20 9")

    assert [(line["player"], line["block"], line["setup"], line["good"]) for line in sheet.lines] == [
        ("ADA", "1", "BC", "21"),
        ("CLEO", "1", "BC", "11"),
        ("ADA", "2", "NC", "9"),
    ]
    assert sheet.expects == ("BEN", 4)


def test_of_a_planned_session_only_the_counts_are_typed():
    planned = [
        {"setup": "BC", "spin": "topspin", "length": "long", "block": "1"},
        {"setup": "NC", "spin": "backspin", "length": "short", "block": "2", "feed": "1", "order": "serial"},
        {"setup": "NC", "spin": "topspin", "length": "long", "block": "2", "feed": "2", "order": "serial"},
    ]

    sheet = typed(TypedSheet(["ADA"], {"ADA": 2}, planned), "30 21", "15 9", "15 12")

    assert [(line["block"], line.get("feed"), line["setup"], line["good"]) for line in sheet.lines] == [
        ("2", None, "BC", "21"),
        ("3", "1", "NC", "9"),
        ("3", "2", "NC", "12"),
    ]
    with pytest.raises(NotReadable, match="expected the setup"):
        sheet.typed("30 2", SETUPS)


def test_the_effort_is_said_once_and_not_repeated_with_the_ball():
    sheet = typed(TypedSheet(["ADA"], {"ADA": 1}), "BC t l e6 m5 30 21", "30 9")

    assert [line.get("effort") for line in sheet.lines] == ["6", None]
    assert [line.get("minutes") for line in sheet.lines] == ["5", None]


@pytest.mark.parametrize("line", ["30 21", "-", "hello", ""])
def test_without_a_ball_there_is_nothing_to_count(line):
    with pytest.raises(NotReadable):
        typed(TypedSheet(["ADA"], {"ADA": 1}), line)
