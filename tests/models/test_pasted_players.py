"""A pasted list of names becomes lines of the players log."""

import pytest

from models.edited_lines import changed_lines
from models.pasted_players import code_for, players_pasted

LIST = """\
1. Mara Brook
2) Ilya Stone; links ; left-handed

- Tove Marsh\tL\tJuniors\t2012
Åsa Öberg, 2010
"""


def test_each_line_is_a_player_and_what_stands_beside_the_name_is_told_by_its_look():
    lines = players_pasted(LIST, taken=["MARA"], group="Minis")

    assert [
        (line["player"], line["name"], line["handedness"], line["group"], line["birth_year"]) for line in lines
    ] == [
        ("MARAB", "Mara Brook", "right", "Minis", None),
        ("ILYA", "Ilya Stone", "left", "links", None),
        ("TOVE", "Tove Marsh", "left", "Juniors", 2012),
        ("ASA", "Åsa Öberg", "right", "Minis", 2010),
    ]


@pytest.mark.parametrize(
    ("name", "taken", "code"),
    [
        ("Ada Lind", [], "ADA"),
        ("Ada Lind", ["ada"], "ADAL"),
        ("Ada Lind", ["ADA", "ADAL"], "ADALI"),
        ("Ada Lind", ["ADA", "ADAL", "ADALI"], "ADALIN2"),
        ("Ada Lind", ["ADA", "ADAL", "ADALI", "ADALIN2"], "ADALIN3"),
        ("Maximiliana", [], "MAXIMILI"),
        ("李娜", [], "P"),
        ("李娜", ["P"], "P2"),
    ],
)
def test_a_code_is_short_plain_and_nobody_elses(name, taken, code):
    assert code_for(name, taken) == code


def test_nothing_typed_is_nobody():
    assert players_pasted(" \n,right\n", taken=[]) == []


def test_only_rows_that_say_something_else_were_changed_and_an_emptied_text_says_nothing():
    before = [{"player": "A", "group": "Juniors"}, {"player": "B", "group": None}, {"player": "C", "group": "Minis"}]
    after = [{"player": "A", "group": "Juniors"}, {"player": "B", "group": "  "}, {"player": "C", "group": ""}]

    assert changed_lines(before, after) == [{"player": "C", "group": None}]
